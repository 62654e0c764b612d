"""Numbers in force: recommended, national, regional, the workshop's, and last the caller's own, each over the one before."""

from __future__ import annotations

import datetime
import difflib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from rules.library.citation import Citation
from rules.library.pack import Pack
from rules.library.pins import in_force
from rules.library.value import Value
from rules.subject.design import Parameter
from rules.subject.faults import Fault, pointer

NEAREST = 12
"""How many names are told to whoever gives one that nothing has: there are hundreds."""
CALLER = "the design"
"""What Value.pack says of a number the caller replaced."""


def layered(packs: Iterable[Pack], as_of: datetime.date) -> dict[str, Value]:
    """Later layers speak over earlier ones. A withdrawn pack that was pinned keeps the numbers of its own time."""
    values: dict[str, Value] = {}
    for pack in packs:
        day = as_of if in_force(pack, as_of) else min(as_of, pack.ends - datetime.timedelta(days=1)) if pack.ends else as_of
        values |= {value.name: _upon(values.get(value.name), value) for value in pack.values if value.in_force(day)}
    return values


def _upon(beneath: Value | None, value: Value) -> Value:
    return value if beneath is None else replace(value, beneath=beneath)


def contested(packs: Sequence[Pack], as_of: datetime.date) -> Iterable[Fault]:
    """Two packs of one layer that replace the same number leave it open which one holds."""
    claims: dict[tuple[str, str], list[str]] = {}
    for pack in packs:
        for value in pack.values:
            if value.overrides and value.in_force(as_of):
                claims.setdefault((pack.layer, value.name), []).append(pack.id)
    for (_, name), ids in claims.items():
        if len(ids) > 1:
            said = f"{' and '.join(ids)} both replace {name}"
            yield Fault("/codes/packs", "contested-value", said, ids, None, "Ask for one of them in codes.packs.")


def wrong_parameter(parameter: Parameter, values: Mapping[str, Value]) -> Iterable[Fault]:
    """What is wrong with a number the caller puts in place of one in force."""
    at = pointer("codes", "parameters", parameter.name)
    if parameter.name not in values:
        hint = "The names are on the page of each pack in force; those that come nearest are told here."
        near = difflib.get_close_matches(parameter.name[:64], values, n=NEAREST, cutoff=0.4) or None
        yield Fault(at, "unknown-parameter", f"No pack in force has a number called {parameter.name}", parameter.name, near, hint)
        return
    value = values[parameter.name]
    if value.is_word != isinstance(parameter.value, str):
        kind = "a word" if value.is_word else "a number"
        yield Fault(f"{at}/value", "wrong-kind", f"{value.name} ({value.what}) is {kind}", parameter.value, value.number, f"Give {kind}.")
    elif value.choices and parameter.value not in value.choices:
        yield Fault(
            f"{at}/value",
            "unknown-word",
            f"{value.name} knows no {parameter.value!r}",
            parameter.value,
            list(value.choices),
            "Use one of these.",
        )
    elif isinstance(parameter.value, float | int) and _positive(value) and not 0 < parameter.value < float("inf"):
        yield Fault(
            f"{at}/value", "out-of-range", f"{value.name} ({value.what}) is above nought", parameter.value, "> 0", "Give a positive number."
        )


def _positive(value: Value) -> bool:
    results = [result for _, result in value.table.rows] if value.table else [value.number]
    return all(isinstance(each, float) and each > 0 for each in results)


def replaced(value: Value, parameter: Parameter) -> Value:
    """The value as the caller sets it, with his reason; of a table, the same for every key."""
    return replace(
        value,
        number=parameter.value if isinstance(parameter.value, str) else float(parameter.value),
        table=None,
        pack=CALLER,
        overrides=value.pack,
        overridden_because=parameter.reason,
        beneath=value,
        cites=Citation(f"codes.parameters: {parameter.reason}", seen="read", document=CALLER, edition="as given", source=CALLER),
    )
