"""Whether an expression of a declared rule adds, compares and returns like with like: dimensional analysis, before anything is judged.

A bare number takes the unit of what it is compared with or added to. A factor of ten, a hundred, a thousand, … in a product may be a
change of unit, and then only the dimension is held against the other side; otherwise the unit has to be the same.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, cast

from rules.library.expression_text import TABLE_FUNCTIONS, TextFault
from rules.library.expression_tree import Part, Tree
from rules.library.value import Value

ENDINGS = {
    "_mm": "mm", "_m": "m", "_deg": "deg", "_kg": "kg", "_kn": "kN", "_knm": "kN*m", "_kn_per_m": "kN/m", "_kn_per_m2": "kN/m**2",
    "_mpa": "N/mm**2", "_kg_per_m3": "kg/m**3", "_mm2": "mm**2", "_mm3": "mm**3", "_mm4": "mm**4", "_m_per_s": "m/s",
}  # fmt: skip
"""How a name ends, and the unit that says: keys of tables carry theirs so."""

_SUPERSCRIPTS = str.maketrans({"²": "**2", "³": "**3", "⁴": "**4", "·": "*"})


@dataclass(frozen=True, slots=True)
class Measure:
    """What a part gives. unit: None for words, yes or no, and for a bare number, which is `bare`; rescaled: a power of ten may have
    changed the unit, so only its dimension is known."""

    unit: Any = None
    bare: bool = False
    rescaled: bool = False
    number: float | None = None


_WORD, _BARE = Measure(), Measure(bare=True)


def readable_unit(unit: str) -> bool:
    """Whether the unit of a value or fact can be read. The empty unit and "1" are plain numbers."""
    try:
        _unit(unit)
    except ValueError:
        return False
    return True


def _registry() -> Any:
    import pint  # a third of a second, and only when something is linted; pint keeps its own registry

    return cast(Any, pint).get_application_registry()


def _unit(written: str) -> Any:
    text = {"": "dimensionless", "1": "dimensionless", "°": "degree", "deg": "degree", "%": "percent"}.get(written, written)
    try:
        return _registry().Unit(text.translate(_SUPERSCRIPTS))
    except Exception as error:  # pint raises tokenizer, attribute and value errors alike
        raise ValueError(f"{written} is no unit that can be read") from error


class UnitCheck:
    """The names of one scope with their units, and the check of expressions made of them.

    units: unit of every fact and value that is a number, by its name in expressions; tables: the pack's tables by name.
    """

    def __init__(self, units: Mapping[str, str], tables: Mapping[str, Value]) -> None:
        self.units = {name: unit for name, unit in units.items() if readable_unit(unit)}
        self.tables = {name: value for name, value in tables.items() if readable_unit(value.unit)}

    def faults(self, tree: Tree, wanted: str | None = None) -> list[TextFault]:
        """Everything that does not fit together. wanted: the unit the whole expression has to give; None for yes or no."""
        check = _Walk(self, tree)
        gives = check.measure(tree.root)
        if wanted is not None and readable_unit(wanted):
            check.same(tree.root, gives, Measure(_unit(wanted)), "this gives {0}, and the rule is measured in {1}")
        return check.found


class _Walk:
    def __init__(self, known: UnitCheck, tree: Tree) -> None:
        self.known, self.tree = known, tree
        self.found: list[TextFault] = []

    def measure(self, part: Part) -> Measure:
        return getattr(self, f"_{part.kind}")(part)  # type: ignore[no-any-return]  # one method a kind, each giving a Measure

    def same(self, part: Part, one: Measure, other: Measure, said: str) -> Measure:
        """The unit both have; a fault at this part where they differ."""
        if one.unit is None or other.unit is None:
            return other if one.unit is None else one
        rescaled = one.rescaled or other.rescaled
        if not _fits(one.unit, other.unit, rescaled):
            hint = "write one of them in the unit of the other" if _fits(one.unit, other.unit, True) else ""
            self.found.append(TextFault(part.at.line, part.at.column, said.format(_shown(one.unit), _shown(other.unit)), hint))
        return Measure(one.unit, rescaled=rescaled)

    def _name(self, part: Part) -> Measure:
        unit = self.known.units.get(part.word)
        return Measure(_unit(unit)) if unit is not None else _WORD

    def _number(self, part: Part) -> Measure:
        return Measure(bare=True, number=float(part.word.rstrip("uU")))

    def _string(self, part: Part) -> Measure:
        return _WORD

    _bool = _string

    def _list(self, part: Part) -> Measure:
        given = [self.measure(each) for each in part.inner]
        return next((each for each in given if each.unit is not None), given[0] if given else _WORD)

    def _not(self, part: Part) -> Measure:
        self.measure(part.inner[0])
        return _WORD

    _and = _or = lambda self, part: self._all(part)

    def _all(self, part: Part) -> Measure:
        for each in part.inner:
            self.measure(each)
        return _WORD

    def _negative(self, part: Part) -> Measure:
        return self.measure(part.inner[0])

    def _choice(self, part: Part) -> Measure:
        self.measure(part.inner[0])
        return self.same(part, self.measure(part.inner[1]), self.measure(part.inner[2]), "this gives {0} or {1}")

    def _comparison(self, part: Part) -> Measure:
        self.same(part, self.measure(part.inner[0]), self.measure(part.inner[1]), "{0} is compared with {1}")
        return _WORD

    _in = _comparison

    def _arithmetic(self, part: Part) -> Measure:
        one, other = (self.measure(each) for each in part.inner)
        if part.word in ("+", "-"):
            return self.same(part, one, other, "{0} and {1} are " + ("added" if part.word == "+" else "subtracted"))
        if one.bare and other.bare:
            return _BARE
        rescaled = one.rescaled or other.rescaled or _power_of_ten(one.number) or _power_of_ten(other.number)
        left, right = (each.unit if each.unit is not None else _unit("1") for each in (one, other))
        return Measure(left * right if part.word == "*" else left / right, rescaled=rescaled)

    def _call(self, part: Part) -> Measure:
        if part.word in TABLE_FUNCTIONS:
            return self._table(part)
        given = [self.measure(each) for each in part.inner]
        if part.word == "sqrt":
            return given[0] if given[0].unit is None else Measure(given[0].unit ** 0.5, rescaled=given[0].rescaled)
        if part.word == "abs":
            return given[0]
        if part.word == "ratio":
            return self._ratio(*given)
        if part.word in ("min", "max", "between"):
            whole = given[0]
            for each in given[1:]:
                whole = self.same(part, whole, each, part.word + " is asked of {0} and {1}")
            return _WORD if part.word == "between" else whole
        return _WORD

    def _ratio(self, one: Measure, other: Measure) -> Measure:
        if one.bare and other.bare:
            return _BARE
        left, right = (each.unit if each.unit is not None else _unit("1") for each in (one, other))
        return Measure(left / right, rescaled=one.rescaled or other.rescaled)

    def _table(self, part: Part) -> Measure:
        name = part.inner[0].word.strip("\"'") if part.inner else ""
        value = self.known.tables.get(name)
        keys = [self.measure(each) for each in part.inner[1:]]
        if value is None or value.table is None:
            return _WORD
        for key, given, stated in zip(value.table.by, keys, part.inner[1:], strict=False):
            unit = unit_of_name(key)
            if unit is not None:
                said = f"the table {name} is looked up with {{0}} where {key} stands, which is in {{1}}"
                self.same(stated, given, Measure(_unit(unit)), said)
        gives_number = part.word != "has_row" and not value.is_word
        return Measure(_unit(value.unit)) if gives_number else _WORD


def unit_of_name(name: str) -> str | None:
    """The unit a name ends in; None when it ends in none."""
    ending = max((each for each in ENDINGS if name.endswith(each)), key=len, default=None)
    return ENDINGS[ending] if ending else None


def _fits(one: Any, other: Any, rescaled: bool) -> bool:
    if one.dimensionality != other.dimensionality:
        return False
    return rescaled or abs((1 * one).to(other).magnitude - 1.0) < 1e-9


def _power_of_ten(number: float | None) -> bool:
    return number is not None and number != 1.0 and re.fullmatch(r"10*(\.0*)?|0?\.0*1", f"{number:.12f}".rstrip("0")) is not None


def _shown(unit: Any) -> str:
    return "a plain number" if unit == _unit("1") else f"{unit:~P}"


def numbers(names: Mapping[str, str], values: Mapping[str, Value]) -> dict[str, str]:
    """Units by the name used in expressions: facts that are numbers, and the pack's own scalars."""
    own = {f"value.{name}": value.unit for name, value in values.items() if value.table is None and not value.is_word}
    return {**names, **own}


def unreadable(values: Mapping[str, Value]) -> Iterator[str]:
    """Names of values whose unit cannot be read."""
    return (name for name, value in values.items() if not readable_unit(value.unit))
