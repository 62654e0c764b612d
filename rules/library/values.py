"""values.yaml: from checked text to dated, cited values."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from itertools import combinations, product
from typing import Any

from rules.library.citation import Citation
from rules.library.pack_schemas import ValueShape
from rules.library.shaping import shaped
from rules.library.value import ANY, Interval, Key, Number, Table, Value
from rules.library.yaml_source import Source


def citation(said: dict[str, Any]) -> Citation:
    """A Citation of a checked mapping."""
    return Citation(**said)


def read_values(source: Source) -> tuple[Value, ...]:
    """Every entry that can be read; what is wrong with the others stands in source.faults."""
    if source.data is None:
        return ()
    if not isinstance(source.data, list):
        source.fault((), "values.yaml is a list of entries, each beginning with `- name:`")
        return ()
    shape = ValueShape()
    read = [(i, value) for i in range(len(source.data)) if (value := _value(source, shape, i)) is not None]
    _overlaps(source, read)
    return tuple(value for _, value in read)


def _value(source: Source, shape: ValueShape, i: int) -> Value | None:
    said = shaped(source, shape, (i,))
    if said is None:
        return None
    table = _table(source, i, said["by"], said["rows"]) if "rows" in said else None
    if "rows" in said and table is None:
        return None
    plain = {key: said[key] for key in ("name", "symbol", "unit", "what", "starts", "ends", "overrides")}
    return Value(**plain, cites=citation(said["cite"]), number=said.get("value"), table=table, choices=tuple(said.get("one_of", ())))


def _table(source: Source, i: int, by: list[str], rows: list[tuple[tuple[Any, ...], Number]]) -> Table | None:
    faults = len(source.faults)
    if len(set(by)) < len(by):
        source.fault((i, "by"), "a key stands twice")
    words = isinstance(rows[0][1], str)
    for k, (keys, result) in enumerate(rows):
        if len(keys) != len(by):
            source.fault((i, "rows", k), f"the row has {len(keys)} keys, the table is by {len(by)}: {', '.join(by)}")
        elif isinstance(result, str) != words:
            source.fault((i, "rows", k), f"the row gives {result!r}, the first row gives {rows[0][1]!r}: all words or all numbers")
    built = [(k, keys, result) for k, (stated, result) in enumerate(rows) for keys in product(*map(_keys, stated))]
    if len(source.faults) == faults:
        _unreachable(source, i, [(k, keys) for k, keys, _ in built])
    return Table(tuple(by), tuple((keys, result) for _, keys, result in built)) if len(source.faults) == faults else None


def _keys(alternatives: Sequence[str | tuple[float, float]]) -> list[Key]:
    return [_key(each) for each in alternatives]


def _key(key: str | tuple[float, float]) -> Key:
    return key if isinstance(key, str) else Interval(*key)


def _unreachable(source: Source, i: int, rows: Sequence[tuple[int, tuple[Key, ...]]]) -> None:
    """A row that an earlier one always answers for was written by mistake."""
    exact: set[tuple[Key, ...]] = set()
    broad: list[tuple[Key, ...]] = []
    hint = "put the exact row before the wide one, or take it out"
    for k, row in rows:
        if row in exact or any(all(map(_covers, wide, row)) for wide in broad):
            source.fault((i, "rows", k), f"an earlier row always answers before this one, for {_shown(row)}", hint)
        exact.add(row)
        if any(key == ANY or isinstance(key, Interval) for key in row):
            broad.append(row)


def _shown(row: tuple[Key, ...]) -> str:
    return ", ".join(key if isinstance(key, str) else f"{key.above:g} to {key.up_to:g}" for key in row)


def _covers(wide: Key, narrow: Key) -> bool:
    if wide in (ANY, narrow):
        return True
    if isinstance(wide, Interval) and isinstance(narrow, Interval):
        return wide.above <= narrow.above and narrow.up_to <= wide.up_to
    return False


def _overlaps(source: Source, read: list[tuple[int, Value]]) -> None:
    by_name: dict[str, list[tuple[int, Value]]] = {}
    for i, value in read:
        by_name.setdefault(value.name, []).append((i, value))
    for entries in by_name.values():
        for (_, first), (i, second) in combinations(entries, 2):
            if _overlap(first, second):
                source.fault((i, "name"), f"{second.name} has two values in force on one day", "give each its starts and ends, or keep one")
            elif first.unit != second.unit:
                source.fault((i, "unit"), f"{second.name} is in {first.unit} above and in {second.unit} here")


def _overlap(one: Value, other: Value) -> bool:
    starts = max(one.starts or datetime.date.min, other.starts or datetime.date.min)
    return starts < min(one.ends or datetime.date.max, other.ends or datetime.date.max)
