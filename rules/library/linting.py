"""What an author wants to hear of a pack before anybody else does: all that is wrong with it, alone and beside the others."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from rules.library.cel import Expression
from rules.library.clauses import unlisted
from rules.library.dead_parts import dead_parts
from rules.library.declared import DeclaredRule
from rules.library.facts import BY_SCOPE
from rules.library.fitting import unfit
from rules.library.pack import Pack
from rules.library.reading import PackSource, Reading, read_pack
from rules.library.units import UnitCheck, numbers, readable_unit
from rules.library.value import Value
from rules.library.yaml_source import PackFault, PackRefused, Path


@dataclass(frozen=True, slots=True)
class Lint:
    """faults: what has to be mended; advice: what the author should know of and may mean so. reading: the pack, when it can be read."""

    faults: tuple[PackFault, ...]
    advice: tuple[PackFault, ...] = ()
    reading: Reading | None = None

    def plain(self) -> dict[str, Any]:
        """As plain data."""
        return {"faults": [each.plain() for each in self.faults], "advice": [each.plain() for each in self.advice]}


def lint(where: PackSource, others: Sequence[Reading] = ()) -> Lint:
    """Everything wrong with one pack, and how it goes with the others that are there."""
    try:
        reading = read_pack(where)
    except PackRefused as refusal:
        return Lint(refusal.faults)
    beside = [other for other in others if other.pack.origin == "shipped" or other.pack.id != reading.pack.id]
    faults = [*unfit([*beside, reading], len(beside)), *_units_of_values(reading), *_unlisted(reading)]
    for rule in reading.pack.declared:
        faults += _rule(reading, rule)
    advice = [*_unread(reading), *_between(reading, [other.pack for other in beside])]
    return Lint(tuple(sorted(set(faults))), tuple(sorted(set(advice))), reading)


def _units_of_values(reading: Reading) -> Iterator[PackFault]:
    for i, value in enumerate(reading.pack.values):
        if not readable_unit(value.unit):
            hint = 'such as mm, kN/m, N/mm², deg, or "1" for a plain number'
            yield reading.fault("values.yaml", (i, "unit"), f"{value.unit!r} is no unit that can be read", hint)


def _unlisted(reading: Reading) -> Iterator[PackFault]:
    for slug in unlisted(reading.pack):
        yield reading.fault("clauses.yaml", (), f"the rule {slug} stands beside no clause", "say which clause it judges")


def places(rule: DeclaredRule) -> Iterator[tuple[Path, Expression, str | None]]:
    """Every expression of a rule: where it stands in its file, and the unit it has to give (None: yes or no)."""
    for name in ("when", "unless", "require"):
        if (condition := getattr(rule, name)) is not None:
            yield (name,), condition, None
    for i, each in enumerate(rule.undecided):
        yield ("undecided", i, "when"), each.when, None
    for name in ("demand", "limit"):
        if (side := getattr(rule, name)) is not None:
            yield (name,), side, rule.unit


def _rule(reading: Reading, rule: DeclaredRule) -> list[PackFault]:
    source = reading.sources[f"declared/{rule.slug}.yaml"]
    before = len(source.faults)
    facts = BY_SCOPE[rule.scope]
    units = UnitCheck(numbers({fact.name: fact.unit for fact in facts if fact.kind == "double"}, rule.values), rule.values)
    words = {fact.name: fact.words for fact in facts if fact.words}
    if rule.unit and not readable_unit(rule.unit):
        source.fault(("unit",), f"{rule.unit!r} is no unit that can be read")
    for path, expression, unit in places(rule):
        tree = expression.tree
        for fault in [*units.faults(tree, unit), *dead_parts(tree, words)] if tree else ():
            source.fault_in_text(path, fault.line, fault.column, fault.message, fault.hint)
    if rule.demand and rule.limit and not (rule.demand.reads or rule.limit.reads):
        source.fault(("demand",), "demand and limit read no fact, so the rule always says the same")
    for path, expression in _unreached(rule):
        source.fault(path, f"no example makes this true: {expression.text}", "add one, or leave the condition out")
    found = source.faults[before:]
    del source.faults[before:]
    return found


def _unreached(rule: DeclaredRule) -> Iterator[tuple[Path, Expression]]:
    """Conditions that hold in no example."""
    for path, expression, unit in places(rule):
        if unit is None and path != ("require",) and not any(rule.answer(expression, each.given) is True for each in rule.examples):
            yield path, expression


def _unread(reading: Reading) -> Iterator[PackFault]:
    """Numbers nothing asks for: of a pack whose rules are all declared, and that others cannot have been written against yet."""
    pack = reading.pack
    if pack.rules or pack.quantities or pack.layer in ("code", "national"):
        return
    read = {name.removeprefix("value.") for rule in pack.declared for name in rule.reads if name.startswith("value.")}
    read |= {name for rule in pack.declared for expression in rule.expressions for name in expression.tables}
    for i, value in enumerate(pack.values):
        if value.overrides is None and value.name not in read:
            yield reading.fault("values.yaml", (i, "name"), f"no rule of the pack reads {value.name}")


def _between(reading: Reading, others: Sequence[Pack]) -> Iterator[PackFault]:
    """Where this pack and another speak of one thing by one name."""
    pack = reading.pack
    for i, value in enumerate(pack.values):
        for other in others if value.overrides else ():
            if any(each.overrides and each.name == value.name and _together(pack, other, value, each) for each in other.values):
                yield _replacing(reading, i, value, other)
    held = {
        (other.id, slug) for other in others for slug in [*(each.slug for each in other.rules), *(each.slug for each in other.declared)]
    }
    for slug in dict.fromkeys(rule.slug for rule in pack.declared):
        for id in sorted(other for other, theirs in held if theirs == slug):
            said = f"{id} has a rule of the same name; both are judged, as {pack.id}/{slug} and {id}/{slug}"
            yield reading.fault(f"declared/{slug}.yaml", ("id",), said)
    yield from _grades(reading, others)


def _together(pack: Pack, other: Pack, one: Value, another: Value) -> bool:
    """Whether both may be in force for one design on one day."""
    apart = pack.tradition and other.tradition and pack.tradition != other.tradition
    elsewhere = pack.regions and other.regions and not any(_touch(a, b) for a in pack.regions for b in other.regions)
    return not apart and not elsewhere and _overlap(one, another)


def _touch(one: str, other: str) -> bool:
    return one == other or one.startswith(f"{other}-") or other.startswith(f"{one}-")


def _overlap(one: Value, other: Value) -> bool:
    if one.ends is not None and other.starts is not None and one.ends <= other.starts:
        return False
    return not (other.ends is not None and one.starts is not None and other.ends <= one.starts)


def _replacing(reading: Reading, i: int, value: Value, other: Pack) -> PackFault:
    pack = reading.pack
    if other.layer == pack.layer:
        said = f"{other.id} replaces {value.name} too and is of the same layer ({pack.layer}): where both hold, a check is refused"
        return reading.fault("values.yaml", (i, "name"), said, "leave it to one of them, or choose another layer")
    return reading.fault("values.yaml", (i, "name"), f"{other.id} ({other.layer}) replaces {value.name} too; the later layer speaks")


def _grades(reading: Reading, others: Sequence[Pack]) -> Iterator[PackFault]:
    for i, grade in enumerate(reading.pack.materials):
        for other in others:
            if any(grade.id == theirs.id and grade.tradition == theirs.tradition for theirs in other.materials):
                said = f"{other.id} has a grade {grade.id} too; where both hold, designs must write {reading.pack.id}:{grade.id}"
                yield reading.fault("materials.yaml", ("grades", i, "id"), said)
