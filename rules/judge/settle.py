"""Stated, derived or assumed: everything the analysis and the rules will need, with nothing taken in silence."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rules.judge.cases import RESERVED, combine, said_of_durations, settle_actions, settles
from rules.judge.geometry import Geometry
from rules.judge.lengths import find_lengths
from rules.judge.materials import find_materials
from rules.judge.methods import SECOND_ORDER, method, said_of_the_choice
from rules.judge.restraints import DECK, NOTHING, is_decked, reliances
from rules.judge.slip import said_of_slip
from rules.library.choosing import Selection
from rules.subject.design import FLOOR_TYPES, ROOF_TYPES, Design
from rules.subject.faults import Fault, pointer, refuse
from rules.subject.holding import FIELDS, Anchor
from rules.subject.jointing import plated_ends
from rules.subject.settled import Assumption, Settled

STANDING = (
    Assumption("/members", "pinned", "Every end that is not stated otherwise is pinned: it passes no moment."),
    Assumption("/actions", 0.0, "No load near a bearing is left out of the shear, and no camber is counted on.", "engineer"),
)
"""Safe choices made for every design alike, whatever the code; each code adds its own."""
OWN_WEIGHT = {
    True: Assumption("/self_weight", True, "The pieces' own weight is added by their mean density."),
    False: Assumption(
        "/self_weight", False, "The pieces' own weight is left out, as the design says: its permanent loads have to hold it.", "engineer"
    ),
}
LYING = ("ceiling-tie", "bottom-chord", "joist", "rafter", "top-chord")
"""Roles in the order in which they are taken to be the piece that sits on a bearing."""


def settle(design: Design, selection: Selection, geometry: Geometry, *, triangulated: bool) -> Settled:
    """Settle every open choice; refuse what cannot be analysed, all faults at once."""
    found = find_materials(design, selection)
    refuse([*found.faults, *_reserved_ids(design), *_nothing_carried(design)])
    assumptions = [*STANDING[:1], *said_of_the_choice(selection), *selection.assumptions, *STANDING[1:], OWN_WEIGHT[design.self_weight]]
    lengths, taken = find_lengths(design, geometry, selection.values, triangulated=triangulated)
    actions = settle_actions(design, selection.values)
    service_class = _service_class(design, assumptions)
    _note_district(design, assumptions)
    seats = tuple(_seat_member(design, index, assumptions) for index in range(len(design.supports)))
    _note_supports(design, assumptions)
    _note_plies(design, assumptions)
    _note_ceiling(design, assumptions)
    _note_joints(design, assumptions)
    assumptions += said_of_slip(design)
    _note_anchors(design, assumptions)
    _note_alone(design, assumptions)
    _note_anchorages(design, assumptions)
    _note_deck(design, geometry, assumptions)
    assumptions += said_of_durations(design, selection.values)
    return Settled(
        design=design,
        materials=found.members,
        service_class=service_class,
        lengths=lengths,
        seat_members=seats,
        seat_materials=found.seats,
        brace_materials=found.braces,
        anchor_materials=found.anchors,
        actions=actions,
        sets=combine(design, actions, selection),
        assumptions=(*assumptions, *_that_matter(taken, selection)),
        questions=tuple(dict.fromkeys(question for action in actions for question in action.ask)),
        triangulated=triangulated,
    )


def _that_matter(taken: Sequence[Assumption], selection: Selection) -> Iterator[Assumption]:
    """Without lengths of buckling in the plane, where second order makes none of them."""
    skipped = "/in_plane_mm" if method(selection) == SECOND_ORDER else None
    return (each for each in taken if skipped is None or not each.pointer.endswith(skipped))


def _reserved_ids(design: Design) -> list[Fault]:
    hint = 'Rename the action; "self_weight": false leaves the self-weight to you, and a support carries its own settlement_mm.'
    return [
        Fault(pointer("actions", i, "id"), "reserved-id", f"{action.id!r} is a case the service adds itself.", action.id, None, hint)
        for i, action in enumerate(design.actions)
        if action.id in RESERVED
    ]


def _nothing_carried(design: Design) -> list[Fault]:
    """Without any load case there is nothing to combine or to analyse."""
    if design.actions or design.self_weight or settles(design):
        return []
    detail = "Nothing acts on the frame: no action is given or can be worked out, and its own weight is left out."
    hint = 'Give actions, or what it carries (loading); or leave out "self_weight": false.'
    return [Fault(pointer("actions"), "required", detail, [], "at least one action", hint)]


def _service_class(design: Design, assumptions: list[Assumption]) -> int:
    if design.site.service_class is not None:
        return design.site.service_class
    floor = design.component_type in FLOOR_TYPES
    words = "floors inside the heated building are taken as service class 1" if floor else "roofs are taken as service class 2"
    assumptions.append(Assumption("/site/service_class", 1 if floor else 2, f"Not stated; {words}.", "designer"))
    return 1 if floor else 2


def _note_district(design: Design, assumptions: list[Assumption]) -> None:
    if design.site.district_from:
        because = f"Not stated; taken from the postcode {design.site.postcode}: {design.site.district_from}."
        assumptions.append(Assumption("/site/district", design.site.district, because, "designer"))


def _seat_member(design: Design, index: int, assumptions: list[Assumption]) -> int | None:
    """Which piece bears on this support: the one named, or the one that lies lowest by role."""
    support = design.supports[index]
    here = [i for i, member in enumerate(design.members) if support.node in member.nodes]
    if support.seat and support.seat.member:
        return next((i for i in here if design.members[i].id == support.seat.member), None)
    if not here:
        return None
    rank = {role: place for place, role in enumerate(LYING)}
    chosen = min(here, key=lambda i: rank.get(design.members[i].role, len(rank)))
    if len(here) > 1 and support.seat:
        because = "Several pieces meet at this bearing; this one is taken to sit on it."
        assumptions.append(Assumption(pointer("supports", index, "seat", "member"), design.members[chosen].id, because))
    return chosen


def _note_supports(design: Design, assumptions: list[Assumption]) -> None:
    for i, support in enumerate(design.supports):
        if support.uplift is None:
            because = "The bearing is taken to hold against uplift as well; an uplift found here must be anchored."
            assumptions.append(Assumption(pointer("supports", i, "uplift"), "held", because, "site"))
        if support.seat is None or support.seat.offset_mm == (0.0, 0.0):
            because = "The reaction is taken to stand at the node; if the middle of the bearing lies elsewhere, state it."
            assumptions.append(Assumption(pointer("supports", i, "seat", "offset_mm"), [0, 0], because))


def _note_plies(design: Design, assumptions: list[Assumption]) -> None:
    for i, member in enumerate(design.members):
        if member.plies > 1:
            because = "Plies share the load in the plane of the frame; sideways each buckles alone, as nothing proves their fixings."
            assumptions.append(Assumption(pointer("members", i, "plies"), member.plies, because, "engineer"))


def _note_ceiling(design: Design, assumptions: list[Assumption]) -> None:
    roles = {member.role for member in design.members}
    if design.component_type in ROOF_TYPES and roles & {"ceiling-tie", "bottom-chord"} and "collar" not in roles:
        because = "The ceiling hangs from the tie; no finish that cracks is fixed to the rafters."
        assumptions.append(Assumption("/roof/ceiling", "none below the rafters", because))


def _note_joints(design: Design, assumptions: list[Assumption]) -> None:
    if plated_ends(design):
        because = (
            "At plated nodes pieces that end are cut to the edges of those that run through, webs to chords, and pieces alike half-way between "
            "them, unless cut_order says otherwise; every ply has its own pair of plates; reactions and loads on a node act on one piece."
        )
        assumptions.append(Assumption("/joints", "cut lines by role", because))
    if design.splices:
        because = "The piece is analysed as continuous through its splices; each is judged for the reserve that this asks for."
        assumptions.append(Assumption("/splices", "stiff", because, "engineer", SPLICE_RULE))


def _note_deck(design: Design, geometry: Geometry, assumptions: list[Assumption]) -> None:
    relied = reliances(design, geometry) if is_decked(design) else ()
    held = dict.fromkeys(design.members[each.member].id for each in relied if DECK in each.given_by)
    if held:
        because = "The deck is taken to hold these at their upper edge: fixed to each at least as close as they rely on, and to the walls."
        assumptions.append(Assumption("/floor/deck", list(held), because, "site"))


def _note_anchors(design: Design, assumptions: list[Assumption]) -> None:
    """Ends of bracing that are no item of it: words, or an item that was forgotten or misspelt."""
    listed = design.bracing if isinstance(design.bracing, tuple) else ()
    inside = {item.id for item in listed} | {NOTHING, None}
    first: dict[str, int] = {}
    for place, item in enumerate(listed):
        if item.anchored_to is not None and item.anchored_to not in inside:
            first.setdefault(item.anchored_to, place)
    for words, place in first.items():
        because = "No item of the bracing is called so: it is taken to stand by itself and to take the force that arrives there."
        assumptions.append(Assumption(pointer("bracing", place, "anchored_to"), words, because, "engineer"))


def _note_alone(design: Design, assumptions: list[Assumption]) -> None:
    """A girder stands alone in its document, and the lines that brace it run on over the trusses beside it."""
    if design.count == 1 and isinstance(design.bracing, tuple) and design.bracing:
        because = "Bracing is judged for this component alone; what its lines collect from components beside it is judged with those."
        assumptions.append(Assumption("/count", 1, because, "engineer"))


def _note_anchorages(design: Design, assumptions: list[Assumption]) -> None:
    """What is taken of the timber that bracing is fastened to at its end, and of battens, where nobody says it."""
    for place, item in enumerate(design.bracing if isinstance(design.bracing, tuple) else ()):
        if item.anchor is not None:
            at = ("bracing", place, "anchor")
            for name in ("section", "grade"):
                if getattr(item.anchor, name) is None and item.anchored_to is not None:
                    because = f"The {name} of the timber it is fastened to is taken from the item of bracing called so."
                    assumptions.append(Assumption(pointer(*at, name), item.anchored_to, because))
            if item.anchor.grain is None:
                because = (
                    f"The force of this anchorage is taken to pull across the grain of the timber it is fastened to{_torn(item.anchor)}."
                )
                assumptions.append(Assumption(pointer(*at, "grain"), "across", because))
        if item.kind in FIELDS and item.fasteners is not None and item.fasteners.count == 1:
            because = (
                "One nail at a crossing is taken to do, since the next crossings lie close beside it: common practice, no published source."
            )
            assumptions.append(Assumption(pointer("bracing", place, "fasteners", "count"), 1, because, "engineer"))


def _torn(anchor: Anchor) -> str:
    """The other way that is looked at as well, since a block may be torn out under steel."""
    return ", and, under steel, along it too" if anchor.fasteners.plate_mm is not None else ""


SPLICE_RULE = {"document": "EN 1995-1-1", "edition": "2004+A2:2014", "clause": "5.4.2", "seen": "memory"}
