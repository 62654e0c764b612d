"""Whose packages are these? `service`, `rules` and `solver` are common names, and another distribution can overwrite one without a word.

Each of ours says `__distribution__ = "birdsmouth"` in its `__init__.py`. The three are looked up where an import would find
them and their text is read, not run: a stranger's package must not be started just to learn that it is a stranger's.
"""

from __future__ import annotations

import ast
import importlib.util
from collections.abc import Iterable
from importlib.metadata import PackageNotFoundError, packages_distributions
from importlib.metadata import version as installed_version
from pathlib import Path

OWN = "birdsmouth"
PACKAGES = ("service", "rules", "solver")
ADVICE = "Install birdsmouth into a virtual environment of its own: python3 -m venv NEW, then NEW/bin/pip install and its folder or wheel."


class ShadowedPackage(ImportError):
    """Another distribution's package stands where one of birdsmouth's should; the message says whose and what to do."""


def version() -> str:
    """The release of the installed distribution, "0+unknown" when the folder was never installed."""
    try:
        return installed_version(OWN)
    except PackageNotFoundError:
        return "0+unknown"


def require_own_packages(names: Iterable[str] = PACKAGES) -> None:
    """Return when every package is birdsmouth's own; raise ShadowedPackage, naming each stranger, when one is not."""
    strangers = [complaint for name in names if (complaint := _complaint(name))]
    if strangers:
        raise ShadowedPackage("\n".join([*strangers, ADVICE]))


def _complaint(name: str) -> str | None:
    place = _place(name)
    if place is None:
        return f"birdsmouth's package {name!r} is missing: no folder of that name is on the import path."
    says = _declared(place)
    if says == OWN:
        return None
    return f"birdsmouth's package {name!r} is shadowed: import finds {place} instead ({_owner(name, says)})."


def _owner(name: str, says: str | None) -> str:
    others = sorted(set(packages_distributions().get(name, [])) - {OWN})
    if others:
        return f"the distribution {' or '.join(others)} brings it"
    return "no installed distribution claims it" if says is None else f"it says it belongs to {says}"


def _place(name: str) -> Path | None:
    spec = importlib.util.find_spec(name)
    if spec is None:
        return None
    folders = list(spec.submodule_search_locations or [])
    return Path(spec.origin) if spec.origin else Path(folders[0]) if folders else None


def _declared(place: Path) -> str | None:
    if place.suffix != ".py":
        return None
    for statement in ast.parse(place.read_text(encoding="utf-8")).body:
        if isinstance(statement, ast.Assign) and isinstance(statement.value, ast.Constant) and _names(statement) == ["__distribution__"]:
            return str(statement.value.value)
    return None


def _names(statement: ast.Assign) -> list[str]:
    return [target.id for target in statement.targets if isinstance(target, ast.Name)]
