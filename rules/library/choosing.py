"""Which packs speak on a design, and why: one tradition, its national choices, its regions, its workshop."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from rules.library.acting import sagging
from rules.library.clauses import Clause, clauses_of
from rules.library.declared import DeclaredRule
from rules.library.evidence import Evidence
from rules.library.given import Given
from rules.library.layering import CALLER, contested, layered, replaced, wrong_parameter
from rules.library.loading import Library
from rules.library.pack import Expected, Pack
from rules.library.pack_schemas import LAYERS
from rules.library.pins import id_of, in_force, out_of_force, wrong_pin
from rules.library.planning import Plans
from rules.library.quantity import Quantity
from rules.library.rule import Rule
from rules.library.value import Value
from rules.subject.design import Parameter
from rules.subject.faults import Fault, pointer, refuse
from rules.subject.material import Material, ReferenceValue
from rules.subject.settled import Assumption
from rules.subject.site import Site


@dataclass(frozen=True, slots=True)
class Chosen:
    """One pack in force, and why it is."""

    pack: Pack
    because: str


@dataclass(frozen=True)
class Selection:
    """Everything that holds for one design.

    packs: in the order they speak. tradition: of the code of practice, None when none is in force. values: every number by
    name, after overrides. reference: the values by which the tradition describes its grades. assumptions: what the packs take
    for every design alike. book: every formula quantity by name. rules, declared: in pack order; declared ones already
    carry the numbers in force. expected: actions this component type calls for. notes: what the reader must be told of
    the choice itself.
    """

    packs: tuple[Chosen, ...]
    tradition: str | None
    as_of: datetime.date
    values: Mapping[str, Value]
    materials: tuple[Material, ...]
    reference: tuple[ReferenceValue, ...]
    assumptions: tuple[Assumption, ...]
    book: Mapping[str, Quantity]
    rules: tuple[Rule, ...]
    declared: tuple[DeclaredRule, ...]
    expected: tuple[Expected, ...]
    not_covered: tuple[str, ...]
    notes: tuple[str, ...] = field(default=())

    @cached_property
    def plans(self) -> Plans:
        """How quantities rest on each other, for whatever is given."""
        return Plans(self.book, self.values)

    @cached_property
    def replaced_by_caller(self) -> frozenset[str]:
        """The names of the numbers the caller replaced."""
        return frozenset(name for name, value in self.values.items() if value.pack == CALLER)

    @cached_property
    def clauses(self) -> tuple[tuple[str, Clause, tuple[str, ...]], ...]:
        """Every clause of every pack in force: the pack's id, the clause, and the ids of the rules that judge it."""
        return tuple(
            (chosen.pack.id, clause, tuple(f"{chosen.pack.id}/{slug}" for slug in clause.judged_by))
            for chosen in self.packs
            for clause in clauses_of(chosen.pack)
        )

    def evidence(self, given: Mapping[str, Given]) -> Evidence:
        """Every quantity in force, from what is given."""
        return Evidence(self.book, self.values, given, self.plans.of(given))

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
    """Choose the packs for a design. Raises DesignRefused with every fault of `codes`.

    Of the site its country and subdivision decide. What the caller replaces no number of is chosen once for all designs alike.
    """
    place = Site(country=site.country, subdivision=site.subdivision)
    if parameters:
        return _choose(library, place, component_type, as_of, asked, parameters)
    key = (place, component_type, as_of, None if asked is None else tuple(asked))
    return library.once(key, lambda: _choose(library, place, component_type, as_of, asked, ()))


def _choose(
    library: Library, site: Site, component_type: str, as_of: datetime.date, asked: Sequence[str] | None, parameters: Sequence[Parameter]
) -> Selection:
    chosen = _chosen_for(library, site, component_type, as_of) if asked is None else _asked_for(library, asked, as_of)
    packs = [each.pack for each in chosen]
    refuse([*_traditions(packs, asked), *_editions(packs, asked)])
    base = layered(packs, as_of)
    refuse([*contested(packs, as_of), *(fault for each in parameters for fault in wrong_parameter(each, base))])
    values = base | {each.name: replaced(base[each.name], each) for each in parameters}
    tradition = next((pack.tradition for pack in packs if pack.layer == "code" and pack.tradition), None)
    return Selection(
        packs=tuple(chosen),
        tradition=tradition,
        as_of=as_of,
        values=values,
        materials=tuple(grade for pack in packs for grade in pack.materials),
        reference=tuple(each for pack in packs for each in pack.reference),
        assumptions=tuple(each for pack in packs for each in pack.assumptions),
        book=_book(packs, values),
        rules=tuple(rule for pack in packs for rule in pack.rules),
        declared=tuple(rule.with_values(values) for pack in packs if speaks_of(pack, component_type) for rule in pack.declared),
        expected=tuple(each for pack in packs for each in pack.expected.get(component_type, ())),
        not_covered=tuple(dict.fromkeys(each for pack in packs for each in pack.not_covered)),
        notes=tuple(_said_of(library, site, packs, asked, as_of)),
    )


def _book(packs: Iterable[Pack], values: Mapping[str, Value]) -> dict[str, Quantity]:
    """Every quantity by name; one that a word in force calls for stands in the place of the one it replaces too.

    The sagging moment is there whichever packs are: every report shows it.
    """
    book = {sagging.name: sagging} | {quantity.name: quantity for pack in packs for quantity in pack.quantities}
    words = {name: value.number for name, value in values.items() if value.is_word}
    return book | {each.instead_of: each for each in book.values() if each.instead_of and words.get(each.where[0]) == each.where[1]}


def speaks_of(pack: Pack, component_type: str) -> bool:
    """Whether the pack has anything to say about this type of component."""
    return not pack.component_types or component_type in pack.component_types


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


def _chosen_for(library: Library, site: Site, component_type: str, as_of: datetime.date) -> list[Chosen]:
    """Every pack that speaks of this component here and now, and whose foundations hold here and now too."""
    forced = {pack.id for pack in library.packs if in_force(pack, as_of)}
    here = {pack.id: why for pack in library.packs if (why := why_here(pack, site))}
    reasons = {
        pack.id: f"{here[pack.id]}, as of {as_of}"
        for pack in library.packs
        if pack.layer != "grades"
        and speaks_of(pack, component_type)
        and all(below.id in forced and below.id in here for below in library.foundations[pack.id])
    }
    return _ordered(library, library.closure(reasons), reasons)


def _ordered(library: Library, brought: Mapping[str, str | None], reasons: Mapping[str, str]) -> list[Chosen]:
    depth: dict[str, int] = {}

    def sunk(id: str) -> int:
        if id not in depth:
            depth[id] = 1 + max((sunk(below) for below in library.pack(id).builds_on), default=0)
        return depth[id]

    packs = sorted((library.pack(id) for id in brought), key=lambda pack: (LAYERS.index(pack.layer), sunk(pack.id), pack.id))
    return [Chosen(pack, reasons.get(pack.id) or f"{brought[pack.id]} builds on it") for pack in packs]


def _asked_for(library: Library, asked: Sequence[str], as_of: datetime.date) -> list[Chosen]:
    faults = [fault for i, pin in enumerate(asked) for fault in wrong_pin(library, i, pin)]
    faults += [
        Fault(pointer("codes", "packs", i), "duplicate-pack", f"{id_of(pin)} is asked for twice", pin, None, "Name each pack once.")
        for i, pin in enumerate(asked)
        if id_of(pin) in map(id_of, asked[:i])
    ]
    refuse(faults)
    reasons = {id_of(pin): f"asked for as {pin}" for pin in asked}
    chosen = _ordered(library, library.closure(reasons), reasons)
    refuse(out_of_force(library, asked, as_of))
    return chosen


def _traditions(packs: Sequence[Pack], asked: Sequence[str] | None) -> Iterable[Fault]:
    held = {pack.tradition: pack.id for pack in packs if pack.tradition}
    if len(held) > 1:
        said = "Two code traditions cannot judge one design: " + ", ".join(f"{id} is {tradition}" for tradition, id in held.items())
        yield Fault("/codes/packs", "two-traditions", said, list(asked) if asked is not None else None, None, "Ask for the packs of one.")


RESTATING = ("code", "national", "region")
"""Layers whose packs restate a document that comes in editions."""


def _editions(packs: Sequence[Pack], asked: Sequence[str] | None) -> Iterable[Fault]:
    """Two editions of one document in force together: the caller has to say which."""
    held: dict[tuple[str, str], dict[str, Pack]] = {}
    for pack in packs:
        if pack.layer in RESTATING:
            held.setdefault((pack.layer, pack.document), {}).setdefault(pack.edition, pack)
    for (_, document), editions in held.items():
        if len(editions) > 1:
            pins = [f"{pack.id}=={edition}" for edition, pack in editions.items()]
            said = f"Two editions of {document} would judge one design: {' and '.join(pins)}"
            found = list(asked) if asked is not None else None
            yield Fault("/codes/packs", "overlapping-editions", said, found, pins, "Ask in codes.packs for the packs of one of them.")


def _said_of(library: Library, site: Site, packs: Sequence[Pack], asked: Sequence[str] | None, as_of: datetime.date) -> Iterable[str]:
    """What the reader must be told of the choice: each of these is a question somebody has to answer."""
    unstrength = "nothing is judged for strength"
    if not any(pack.layer == "code" for pack in packs):
        if asked is not None:
            yield f"No code of practice is among the packs asked for: {unstrength}."
        elif site.country is None:
            yield f"No country is stated, so no code of practice can be chosen: {unstrength}."
        else:
            yield f"No code of practice held here is in force in {site.country} on {as_of}: {unstrength}."
    elif any(pack.layer == "code" and pack.leaves_choices for pack in packs) and not any(pack.layer == "national" for pack in packs):
        place = site.country or "the site's country"
        held = [pack.id for pack in library.packs if pack.layer == "national" and site.country in pack.regions]
        why = f"{', '.join(held)} was not asked for or is not in force" if held else "they are not held here"
        yield f"Recommended values are used without the national choices of {place}: {why}."
    for pack in packs:
        if not in_force(pack, as_of):
            yield f"{pack.pin} is not in force on {as_of} and is used because it was asked for by its edition."
        if site.country is not None and why_here(pack, site) is None:
            yield f"{pack.id} was asked for and does not hold at a site in {site.subdivision or site.country}."
