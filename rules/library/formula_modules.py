"""formulas/, quantities/, combine.py and derive.py: the parts of a pack that are Python, imported by the package's own name."""

from __future__ import annotations

import importlib
import traceback
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from pathlib import Path
from types import ModuleType
from typing import Any

from rules.library.quantity import Quantity
from rules.library.rule import Rule
from rules.library.yaml_source import PackFault

ACTING = "rules.library.acting"
"""The quantities every pack may take for its own by importing them."""


@dataclass(slots=True)
class Formulas:
    """What the Python of one pack holds."""

    quantities: tuple[Quantity, ...] = ()
    rules: tuple[Rule, ...] = ()
    combine: Callable[..., Any] | None = None
    derive: Callable[..., Any] | None = None
    faults: list[PackFault] = field(default_factory=list)

    def completed(self, pack: str, document: str, edition: str) -> Formulas:
        """The same with the pack's id on every rule and its document and edition in every citation left open."""
        book = {each.name: _cited(each, document, edition) for each in self.quantities}

        def of_book(part: Quantity | None) -> Any:
            return None if part is None else book.get(part.name, part)

        rules = tuple(
            replace(
                rule,
                pack=pack,
                cites=rule.cites.within(document, edition),
                demand=of_book(rule.demand),
                limit=of_book(rule.limit),
                when=of_book(rule.when),
                undecided=of_book(rule.undecided),
            )
            for rule in self.rules
        )
        return Formulas(tuple(book.values()), rules, self.combine, self.derive)


def _cited(quantity: Quantity, document: str, edition: str) -> Quantity:
    return replace(quantity, cites=quantity.cites.within(document, edition)) if quantity.cites else quantity


def read_formulas(folder: Path, package: str) -> Formulas:
    """Import every module of the pack. A module that raises is a fault, never an exception."""
    found = Formulas()
    for part in ("quantities", "formulas"):
        for file in sorted((folder / part).glob("*.py")):
            _take(found, f"{part}/{file.name}", _module(found, f"{package}.{part}", file, f"{part}/{file.name}"))
    found.combine = _function(found, package, folder, "combine")
    found.derive = _function(found, package, folder, "derive")
    _twice(found)
    return found


def _function(found: Formulas, package: str, folder: Path, name: str) -> Callable[..., Any] | None:
    """The function a module of this name holds under the same name; None where there is no such module."""
    file = f"{name}.py"
    module = _module(found, package, folder / file, file) if (folder / file).is_file() else None
    function = getattr(module, name, None)
    if module is not None and not callable(function):
        found.faults.append(PackFault(file, 1, 1, f"{file} holds no function called {name}"))
    return function


def _module(found: Formulas, package: str, file: Path, name: str) -> ModuleType | None:
    try:
        return importlib.import_module(package if file.stem == "__init__" else f"{package}.{file.stem}")
    except Exception as error:
        lines = [frame.lineno or 0 for frame in traceback.extract_tb(error.__traceback__) if Path(frame.filename) == file]
        lines += [error.lineno or 1] if isinstance(error, SyntaxError) and error.filename == str(file) else []
        found.faults.append(
            PackFault(name, lines[-1] if lines else 1, 1, f"the module cannot be imported: {type(error).__name__}: {error}")
        )
        return None


def _take(found: Formulas, name: str, module: ModuleType | None) -> None:
    if module is None:
        return
    own = [each for each in vars(module).values() if isinstance(each, Quantity) and each.of.__module__ in (module.__name__, ACTING)]
    found.quantities = tuple(dict.fromkeys((*found.quantities, *own)))
    rules = getattr(module, "RULES", ()) or tuple(each for each in (getattr(module, "RULE", None),) if each)
    for rule in rules:
        if not isinstance(rule, Rule):
            found.faults.append(PackFault(name, 1, 1, f"RULE is a {type(rule).__name__}, not a Rule"))
        else:
            found.rules += (rule,)


def _twice(found: Formulas) -> None:
    """Two quantities of one name, or two rules of one slug and part."""
    names: set[str] = set()
    for quantity in found.quantities:
        if quantity.name in names:
            file, line = _where(quantity)
            found.faults.append(PackFault(file, line, 1, f"the quantity {quantity.name} is defined twice"))
        names.add(quantity.name)
    met: set[tuple[str, str]] = set()
    for rule in found.rules:
        if (rule.slug, rule.part) in met:
            said = f"{rule.slug}, part {rule.part}" if rule.part else rule.slug
            found.faults.append(PackFault("formulas", 0, 0, f"two rules are called {said}"))
        met.add((rule.slug, rule.part))


def _where(quantity: Quantity) -> tuple[str, int]:
    file = Path(quantity.of.__code__.co_filename)
    return f"{file.parent.name}/{file.name}", quantity.of.__code__.co_firstlineno
