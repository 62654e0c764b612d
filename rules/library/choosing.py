"""Which packs speak on a design, and why: one tradition, its national choices, its regions, its workshop."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from rules.library.declared import DeclaredRule
from rules.library.loading import Library
from rules.library.pack import Expected, Pack
from rules.library.pack_schemas import LAYERS
from rules.library.quantity import Quantity
from rules.library.rule import Rule
from rules.library.value import Value
from rules.subject.design import Parameter
from rules.subject.faults import Fault, pointer, refuse
from rules.subject.material import Material
from rules.subject.site import Site

CALLER = "the design"
"""What Value.pack says of a number the caller replaced."""


@dataclass(frozen=True, slots=True)
class Chosen:
    """One pack in force, and why it is."""

    pack: Pack
    because: str


@dataclass(frozen=True)
class Selection:
    """Everything that holds for one design.

    packs: in the order they speak. tradition: of the code of practice, None when none is in force. values: every number by
    name, after overrides. book: every formula quantity by name. rules, declared: in pack order; declared ones already
    carry the numbers in force. expected: actions this component type calls for. notes: what the reader must be told of
    the choice itself.
    """

    packs: tuple[Chosen, ...]
    tradition: str | None
    as_of: datetime.date
    values: Mapping[str, Value]
    materials: tuple[Material, ...]
    book: Mapping[str, Quantity]
    rules: tuple[Rule, ...]
    declared: tuple[DeclaredRule, ...]
    expected: tuple[Expected, ...]
    not_covered: tuple[str, ...]
    notes: tuple[str, ...] = field(default=())

    @property
    def code(self) -> Pack | None:
        """The pack that makes combinations; None when no code of practice is in force."""
        return next((chosen.pack for chosen in self.packs if chosen.pack.combine), None)


def choose(
    library: Library,
    site: Site,
    component_type: str,
    as_of: datetime.date,
    asked: Sequence[str] | None,
    parameters: Sequence[Parameter] = (),
) -> Selection:
    """Choose the packs for a design. Raises DesignRefused with every fault of `codes`."""
    chosen, notes = _chosen_for(library, site, component_type, as_of) if asked is None else _asked_for(library, asked, as_of)
    packs = [each.pack for each in chosen]
    refuse(_traditions(packs, asked))
    base = _layered(packs, as_of)
    refuse([*_contested(packs, as_of), *(fault for each in parameters for fault in _wrong_parameter(each, base))])
    values = base | {each.name: _replaced(base[each.name], each) for each in parameters}
    tradition = next((pack.tradition for pack in packs if pack.layer == "code" and pack.tradition), None)
    return Selection(
        packs=tuple(chosen),
        tradition=tradition,
        as_of=as_of,
        values=values,
        materials=tuple(grade for pack in packs for grade in pack.materials),
        book={quantity.name: quantity for pack in packs for quantity in pack.quantities},
        rules=tuple(rule for pack in packs for rule in pack.rules),
        declared=tuple(rule.with_values(values) for pack in packs if speaks_of(pack, component_type) for rule in pack.declared),
        expected=tuple(each for pack in packs for each in pack.expected.get(component_type, ())),
        not_covered=tuple(dict.fromkeys(each for pack in packs for each in pack.not_covered)),
        notes=(*notes, *_said_of(site, packs, tradition)),
    )


def speaks_of(pack: Pack, component_type: str) -> bool:
    """Whether the pack has anything to say about this type of component."""
    return not pack.component_types or component_type in pack.component_types


def in_force(pack: Pack, day: datetime.date) -> bool:
    """Whether the pack's edition holds on that day."""
    return (pack.starts is None or pack.starts <= day) and (pack.ends is None or day < pack.ends)


def why_here(pack: Pack, site: Site) -> str | None:
    """Why the pack holds at this site; None when it does not. Where the site leaves it undecided, it holds."""
    if not pack.regions:
        return "it holds everywhere"
    if site.country is None:
        return None
    if site.country in pack.regions:
        return f"site in {site.country}"
    inside = [region for region in pack.regions if region.startswith(f"{site.country}-")]
    if not inside:
        return None
    if site.subdivision in inside:
        return f"site in {site.subdivision}"
    if site.subdivision is None:
        return f"site in {site.country}, subdivision not stated: {', '.join(inside)} may hold"
    undecided = bool(pack.elsewhere) and site.subdivision not in pack.elsewhere
    return f"site in {site.subdivision}, which may lie in {', '.join(inside)}" if undecided else None


def _chosen_for(library: Library, site: Site, component_type: str, as_of: datetime.date) -> tuple[list[Chosen], list[str]]:
    reasons: dict[str, str] = {}
    for pack in library.packs:
        why = why_here(pack, site)
        if why and pack.layer != "grades" and in_force(pack, as_of) and speaks_of(pack, component_type):
            reasons[pack.id] = f"{why}, as of {as_of}"
    reasons = {id: why for id, why in reasons.items() if _whole(library, id, as_of)}
    reasons = {id: why for id, why in reasons.items() if _at_home(library, library.pack(id), site)}
    brought = library.closure(reasons)
    return _ordered(library, brought, reasons), []


def _whole(library: Library, id: str, as_of: datetime.date) -> bool:
    """Whether all it builds on is in force too."""
    return all(in_force(library.pack(below), as_of) for below in library.closure([id]))


def _at_home(library: Library, pack: Pack, site: Site) -> bool:
    """A pack of a code of practice is chosen only where that code itself holds."""
    return all(why_here(library.pack(below), site) for below in library.closure([pack.id]))


def _ordered(library: Library, brought: Mapping[str, str | None], reasons: Mapping[str, str]) -> list[Chosen]:
    depth: dict[str, int] = {}

    def sunk(id: str) -> int:
        if id not in depth:
            depth[id] = 1 + max((sunk(below) for below in library.pack(id).builds_on), default=0)
        return depth[id]

    packs = sorted((library.pack(id) for id in brought), key=lambda pack: (LAYERS.index(pack.layer), sunk(pack.id), pack.id))
    return [Chosen(pack, reasons.get(pack.id) or f"{brought[pack.id]} builds on it") for pack in packs]


_PIN = re.compile(r"^(?P<id>[^=@]+?)(?:==(?P<edition>[^@]+)(?:@(?P<release>.+))?)?$")


def _asked_for(library: Library, asked: Sequence[str], as_of: datetime.date) -> tuple[list[Chosen], list[str]]:
    faults = [fault for i, pin in enumerate(asked) for fault in _wrong_pin(library, i, pin)]
    faults += [
        Fault(pointer("codes", "packs", i), "duplicate-pack", f"{_id(pin)} is asked for twice", pin, None, "Name each pack once.")
        for i, pin in enumerate(asked)
        if _id(pin) in map(_id, asked[:i])
    ]
    refuse(faults)
    reasons = {_id(pin): f"asked for as {pin}" for pin in asked}
    chosen = _ordered(library, library.closure(reasons), reasons)
    refuse(_out_of_force(library, asked, as_of))
    notes = [
        f"{each.pack.pin} is not in force on {as_of} and is used because it was asked for by its edition"
        for each in chosen
        if not in_force(each.pack, as_of)
    ]
    return chosen, notes


def _id(pin: str) -> str:
    return pin.partition("==")[0]


def _wrong_pin(library: Library, i: int, pin: str) -> Iterable[Fault]:
    at = pointer("codes", "packs", i)
    parts = _PIN.match(pin)
    if parts is None:
        yield Fault(
            at,
            "unreadable-pin",
            "A pack is named by its id, id==edition or id==edition@release",
            pin,
            None,
            "Write it like eurocode-timber.",
        )
    elif not library.holds(parts["id"]):
        broken = any(each.name in (parts["id"], parts["id"].replace("-", "_")) for each in library.broken)
        said = f"The pack {parts['id']} is here but cannot be used" if broken else f"There is no pack called {parts['id']}"
        yield Fault(at, "unknown-pack", said, pin, [pack.id for pack in library.packs], "Name one of the packs held, or leave `packs` out.")
    else:
        held = library.pack(parts["id"])
        if (parts["edition"] or held.edition) != held.edition or (parts["release"] or held.release) != held.release:
            yield Fault(at, "pack-not-held", f"{pin} is not held here", pin, [held.pin], f"Held: {held.pin}.")


def _out_of_force(library: Library, asked: Sequence[str], as_of: datetime.date) -> Iterable[Fault]:
    """A pack out of force must be pinned by its edition, so that nobody gets it unawares."""
    for i, pin in enumerate(asked):
        pack = library.pack(_id(pin))
        if not in_force(pack, as_of) and "==" not in pin:
            said = f"{pack.id} {pack.edition} is not in force on {as_of}"
            yield Fault(
                pointer("codes", "packs", i),
                "pack-not-in-force",
                said,
                pin,
                [pack.pin],
                f"To use it all the same, write {pack.id}=={pack.edition}.",
            )


def _traditions(packs: Sequence[Pack], asked: Sequence[str] | None) -> Iterable[Fault]:
    held = {pack.tradition: pack.id for pack in packs if pack.tradition}
    if len(held) > 1:
        said = "Two code traditions cannot judge one design: " + ", ".join(f"{id} is {tradition}" for tradition, id in held.items())
        yield Fault("/codes/packs", "two-traditions", said, list(asked) if asked is not None else None, None, "Ask for the packs of one.")


def _layered(packs: Iterable[Pack], as_of: datetime.date) -> dict[str, Value]:
    """Later layers speak over earlier ones. A withdrawn pack that was pinned keeps the numbers of its own time."""
    values: dict[str, Value] = {}
    for pack in packs:
        day = as_of if in_force(pack, as_of) else min(as_of, pack.ends - datetime.timedelta(days=1)) if pack.ends else as_of
        values |= {value.name: value for value in pack.values if value.in_force(day)}
    return values


def _contested(packs: Sequence[Pack], as_of: datetime.date) -> Iterable[Fault]:
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


def _wrong_parameter(parameter: Parameter, values: Mapping[str, Value]) -> Iterable[Fault]:
    at = pointer("codes", "parameters", parameter.name)
    if parameter.name not in values:
        hint = "The names are on the page of each pack in force."
        yield Fault(at, "unknown-parameter", f"No pack in force has a number called {parameter.name}", parameter.name, sorted(values), hint)
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


def _replaced(value: Value, parameter: Parameter) -> Value:
    number = parameter.value if isinstance(parameter.value, str) else float(parameter.value)
    return replace(value, number=number, table=None, pack=CALLER, overrides=value.pack, overridden_because=parameter.reason)


def _said_of(site: Site, packs: Sequence[Pack], tradition: str | None) -> Iterable[str]:
    if tradition is None and site.country is None:
        yield "No country is stated, so no code of practice can be chosen: nothing is judged for strength."
    elif tradition is None:
        yield f"No pack holds a code of practice for {site.country}: nothing is judged for strength."
    elif not any(pack.layer == "national" for pack in packs):
        place = site.country or "the site's country"
        yield f"The recommended values are used without the national choices of {place}, which are not held here."
