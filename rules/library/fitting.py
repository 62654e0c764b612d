"""Whether a pack fits the others: what it builds on is there, what it overrides is declared, and no name means two things."""

from __future__ import annotations

from collections.abc import Iterator

from rules.library.materials import misfits
from rules.library.pack import Pack
from rules.library.reading import Reading
from rules.library.yaml_source import PackFault


def unfit(readings: list[Reading], i: int) -> Iterator[PackFault]:
    """What keeps the i-th of these packs from being used with the others."""
    reading, earlier = readings[i], readings[:i]
    if any(other.pack.id == reading.pack.id for other in earlier):
        yield reading.fault("pack.yaml", ("id",), f"there is already a pack called {reading.pack.id}", "choose another id")
        return
    held = {other.pack.id: other.pack for other in readings}
    below = _below(reading.pack, held)
    for k, id in enumerate(reading.pack.builds_on):
        if id not in held:
            yield reading.fault(
                "pack.yaml", ("builds_on", k), f"it builds on {id}, and there is no such pack", "held: " + ", ".join(sorted(held))
            )
    if reading.pack.id in below:
        yield reading.fault("pack.yaml", ("builds_on",), "it builds on itself, by way of " + ", ".join(sorted(below - {reading.pack.id})))
    yield from _overrides(reading, held, below)
    yield from _grades(reading, held)
    yield from _clashes(reading, earlier)


def _below(pack: Pack, held: dict[str, Pack]) -> set[str]:
    below: set[str] = set()
    queue = list(pack.builds_on)
    while queue:
        id = queue.pop()
        if id in held and id not in below:
            below.add(id)
            queue += held[id].builds_on
    return below


def _grades(reading: Reading, held: dict[str, Pack]) -> Iterator[PackFault]:
    """Grades state what the pack that speaks for their tradition says every grade must."""
    pack = reading.pack
    if not (pack.materials or pack.reference):
        return
    others = [other for other in held.values() if other.id != pack.id and other.tradition == pack.tradition and other.reference]
    if pack.reference and others:
        said = f"{others[0].id} already says which reference values grades of the tradition {pack.tradition} state"
        yield reading.fault("materials.yaml", ("reference",), said, "take `reference` out here")
        return
    for i, grade in enumerate(pack.materials):
        for field, message, hint in misfits(grade.properties, others[0].reference if others else ()):
            yield reading.fault("materials.yaml", ("grades", i, "properties", *field), message, hint)


def _overrides(reading: Reading, held: dict[str, Pack], below: set[str]) -> Iterator[PackFault]:
    for i, value in enumerate(reading.pack.values):
        if value.overrides is None:
            continue
        at = (i, "overrides")
        if value.overrides in reading.pack.builds_on and value.overrides not in held:
            continue
        if value.overrides not in below:
            hint = "name it in builds_on" if value.overrides in held else "held: " + ", ".join(sorted(held))
            yield reading.fault(
                "values.yaml", at, f"{value.name} overrides a number of {value.overrides}, which this pack does not build on", hint
            )
            continue
        base = [each for each in held[value.overrides].values if each.name == value.name]
        if not base:
            known = ", ".join(sorted({each.name for each in held[value.overrides].values}))
            yield reading.fault("values.yaml", at, f"{value.overrides} declares no {value.name}", f"it declares {known}")
        elif base[0].unit != value.unit or base[0].is_word != value.is_word:
            yield reading.fault(
                "values.yaml", (i, "unit"), f"{value.name} is in {base[0].unit!r} in {value.overrides}, not in {value.unit!r}"
            )


def _clashes(reading: Reading, earlier: list[Reading]) -> Iterator[PackFault]:
    """Two packs that may speak together must not use one name for two things."""
    pack = reading.pack
    for other in (each.pack for each in earlier):
        if pack.tradition and other.tradition and pack.tradition != other.tradition:
            continue
        taken = {value.name for value in other.values if value.overrides is None} | {quantity.name for quantity in other.quantities}
        for i, value in enumerate(pack.values):
            if value.overrides is None and value.name in taken:
                yield reading.fault(
                    "values.yaml",
                    (i, "name"),
                    f"{value.name} already means something in {other.id}",
                    "add `overrides`, or choose another name",
                )
        for quantity in pack.quantities:
            if quantity.name in taken:
                yield reading.fault(
                    "quantities", (), f"the quantity {quantity.name} already means something in {other.id}", "choose another name"
                )
