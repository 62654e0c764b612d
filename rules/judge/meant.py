"""Loads and sizes that can hardly be meant: too small for their unit, upwards, on part of a piece, from one side, kept from acting together.

Nobody can tell that such a load is wrong, and one that is wrong is the commonest way to a design that passes and does not stand; so a person looks.
What the packs worked out themselves is looked at for its size alone.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations, pairwise

from rules.judge.framed import Frame
from rules.judge.judgement import EngineRule, Judgement
from rules.judge.reach import bare, never_in_part, only_at_joints
from rules.library.rule import Kind
from rules.subject.actions import Action, LineLoad, NodeLoad, PointLoad
from rules.subject.faults import pointer

MEANT = EngineRule("loads-as-meant", "What the loads say can be meant", "A slip of unit, sign or place makes a load that holds nobody up.")

LEAST_LINE_KN_PER_M, LEAST_POINT_KN = 0.01, 0.05
"""Below what anything weighs or blows: one kilogram on a metre, five in a place. Common practice, no published source."""
LEAST_SPACING_MM, MOST_SEAT_MM = 100.0, 600.0
"""Closer stand no components, longer is no bearing of one. Common practice, no published source."""
MOST_DECK_MM, MOST_DECK_MPA = 100.0, 20_000.0
"""Thicker and stiffer is no board of wood. Common practice, no published source."""
HEAVY = ("permanent", "imposed", "roof-imposed", "snow")
WEATHER = ("snow", "wind")
PUSH_N = 1.0
"""Below it a case of wind pushes or lifts nothing: rounding, not weather."""


def meant(frame: Frame, *, both_ways: bool) -> Iterator[Judgement]:
    """What a person has to look at among the design's own loads. both_ways: its rafters fall to the left and to the right."""
    own = frame.own
    yield from _slight(frame, own)
    yield from _close(frame)
    yield from _long_seats(frame)
    yield from _stiff_deck(frame)
    yield from _side_by_side(frame)
    yield from _upwards(frame, own)
    yield from _apart(frame, own)
    if frame.selection.expected:
        yield from _nothing(frame)
        yield from _bare(frame, own)
        yield from _stiff(frame, own)
        yield from _never_in_part(frame, own)
        yield from _one_sided(frame, own, both_ways=both_ways)


def _look(frame: Frame, part: str, message: str, at: str = "/actions") -> Judgement:
    return Judgement(MEANT, "design", frame.settled.design.reference, 0, Kind.REVIEW, part, message=message, pointer=at)


def _slight(frame: Frame, own: Sequence[Action]) -> Iterator[Judgement]:
    worked_out = [each.action for each in frame.derived.derivations if not each.replaced and not each.action.none_because]
    alone = [*own, *(action for action in worked_out if action.nature not in WEATHER)]
    cases = {action.id: [action] for action in alone} | {f"{n} worked out": [a for a in worked_out if a.nature == n] for n in WEATHER}
    named = [name for name, actions in cases.items() if actions and all(_is_slight(load) for each in actions for load in each.loads)]
    if named:
        message = (
            f"No load of {', '.join(named)} reaches {LEAST_LINE_KN_PER_M:g} kN/m or {LEAST_POINT_KN:g} kN, a kilogram on a metre or five in a place. "
            "Are they in kN and kN/m, and for the whole width that loads the frame?"
        )
        yield _look(frame, "size", message)


def _close(frame: Frame) -> Iterator[Judgement]:
    """Components closer together than they are wide, or nearly: metres where millimetres are wanted."""
    design = frame.settled.design
    for name, words, found in (("spacing", "stand", design.spacing_mm), ("load_width", "are loaded over a width of", design.load_width_mm)):
        if found is not None and found < LEAST_SPACING_MM:
            message = f"The components {words} {found:g} mm{' apart' if name == 'spacing' else ''}. Is that in millimetres? ({name}_mm)"
            yield _look(frame, name.replace("_", "-"), message, f"/{name}_mm")


def _long_seats(frame: Frame) -> Iterator[Judgement]:
    """Bearings longer than any wall plate or wall is wide."""
    for index, support in enumerate(frame.settled.design.supports):
        length = support.seat.length_mm if support.seat else None
        if length is not None and length > MOST_SEAT_MM:
            message = f"Support {support.id} bears on {length:g} mm along the span, more than a wall is wide. Is that in millimetres, and along the span?"
            yield _look(frame, f"seat-{support.id}", message, pointer("supports", index, "seat", "length_mm"))


def _is_slight(load: LineLoad | PointLoad | NodeLoad) -> bool:
    match load:
        case LineLoad():
            return max(load.line_kn_per_m, load.line_end_kn_per_m or 0.0) < LEAST_LINE_KN_PER_M
        case PointLoad():
            return (load.point_kn or 0.0) < LEAST_POINT_KN and not load.moment_knm
        case NodeLoad():
            return max(abs(load.x_kn), abs(load.y_kn)) < LEAST_POINT_KN and not load.moment_knm


def _stiff_deck(frame: Frame) -> Iterator[Judgement]:
    """A deck no board is: it would quieten any floor."""
    deck = frame.settled.design.floor.deck if frame.settled.design.floor else None
    if deck is not None and ((deck.thickness_mm or 0.0) > MOST_DECK_MM or (deck.e_mpa or 0.0) > MOST_DECK_MPA):
        told = f"{deck.thickness_mm or 0.0:g} mm thick, of {deck.e_mpa or 0.0:g} N/mm²"
        yield _look(frame, "deck", f"The deck of the floor is {told}: no board of wood is. Are these mm and N/mm²?", "/floor/deck")


def _side_by_side(frame: Frame) -> Iterator[Judgement]:
    """Pieces that run between the same two neighbouring nodes, and so share a force that nobody nails from one to the other."""
    between: dict[frozenset[str], list[str]] = {}
    for member in frame.settled.design.members:
        for bay in pairwise(member.nodes):
            between.setdefault(frozenset(bay), []).append(member.id)
    pairs = dict.fromkeys(" and ".join(names) for names in between.values() if len(names) > 1)
    if pairs:
        message = f"Pieces lie on each other: {'; '.join(pairs)}. Plies are one piece (members.plies), nailed through; or is one there by mistake?"
        yield _look(frame, "side-by-side", message, "/members")


def _upwards(frame: Frame, own: Sequence[Action]) -> Iterator[Judgement]:
    named = [action.id for action in own if action.nature in HEAVY and any(map(_lifts, action.loads))]
    if named:
        yield _look(frame, "upwards", f"What weighs down is said to act upwards: {', '.join(named)}. Is the direction right?")


def _lifts(load: LineLoad | PointLoad | NodeLoad) -> bool:
    return load.y_kn > 0.0 if isinstance(load, NodeLoad) else load.direction == "up"


def _apart(frame: Frame, own: Sequence[Action]) -> Iterator[Judgement]:
    """Loads that are kept from acting together though nothing keeps them apart."""
    pairs = [f"{one.id} with {other.id}" for one, other in combinations(own, 2) if _excluded(one, other) and _may_meet(one, other)]
    if pairs:
        more = f" and {len(pairs) - 3} more" if len(pairs) > 3 else ""
        message = f"The design keeps loads from acting together that may: {', '.join(pairs[:3])}{more}. An engineer must say why. (one_of, never_with)"
        yield _look(frame, "kept-apart", message)
    natures = {action.id: action.nature for action in own}
    waiting = [
        a.id for a in own if a.nature != "wind" and any(natures.get(each, a.nature) not in (a.nature, "permanent") for each in a.needs)
    ]
    if waiting:
        message = f"The design lets {', '.join(waiting)} act only together with a load of another kind. An engineer must say why. (needs)"
        yield _look(frame, "waits-for", message)


def _excluded(one: Action, other: Action) -> bool:
    grouped = one.one_of is not None and one.one_of == other.one_of
    return grouped or other.id in one.never_with or one.id in other.never_with


def _may_meet(one: Action, other: Action) -> bool:
    """Permanent load is always there; snow and wind meet each other, and what is stored below."""
    natures = {one.nature, other.nature}
    if "permanent" in natures:
        return True
    stored = any(each.nature == "imposed" and any(isinstance(load, LineLoad) for load in each.loads) for each in (one, other))
    return natures == {"snow", "wind"} or (stored and bool(natures & set(WEATHER)))


def _nothing(frame: Frame) -> Iterator[Judgement]:
    """A component on which nothing stands but its own timber, or nothing that comes and goes."""
    design, wanted = frame.settled.design, {nature for each in frame.selection.expected for nature in each.natures}
    there = {action.nature for action in design.actions if action.loads}
    if "permanent" in wanted and "permanent" not in there:
        yield _look(
            frame, "nothing-permanent", "Nothing permanent is on the frame but its own timber: does it carry no roof, ceiling or floor?"
        )
    if wanted - {"permanent"} and not wanted & there - {"permanent"}:
        yield _look(frame, "nothing-variable", "No load that comes and goes is on the frame: no snow, wind, use or person.")


def _bare(frame: Frame, own: Sequence[Action]) -> Iterator[Judgement]:
    for each, names in bare(frame, own):
        where = ", ".join(names)
        yield _look(
            frame, f"whole-{each.id}", f"{_first_upper(each.what)} is given, and leaves much of {where} bare. Is it to be there in full?"
        )


def _stiff(frame: Frame, own: Sequence[Action]) -> Iterator[Judgement]:
    for each in only_at_joints(frame, own):
        message = f"{_first_upper(each.what)} stands at joints and bearings only, where it bends nothing. Let it stand anywhere, or between them too."
        yield _look(frame, f"between-{each.id}", message)


def _never_in_part(frame: Frame, own: Sequence[Action]) -> Iterator[Judgement]:
    names = never_in_part(frame, own)
    if names:
        message = (
            f"The load of use lies on the whole of {', '.join(names)} or nowhere; on one span, or one half, it bends other places further, lifts a "
            "far bearing and shears the webs in the middle. Let it come and go by spans and halves, or give such cases. (actions, free)"
        )
        yield _look(frame, "never-in-part", message)


def _one_sided(frame: Frame, own: Sequence[Action], *, both_ways: bool) -> Iterator[Judgement]:
    """Wind that blows from one side only, or that nowhere lifts a roof."""
    winds = {action.id for action in own if action.nature == "wind"}
    rows = [row for row, each in enumerate(frame.settled.actions) if each.id in winds]
    if not rows or not any("wind" in each.natures for each in frame.selection.expected):
        return
    pushed = -frame.response.reactions[rows].sum(axis=1)
    if both_ways and not ((pushed[:, 0] > PUSH_N).any() and (pushed[:, 0] < -PUSH_N).any()):
        yield _look(
            frame, "wind-from-one-side", "No wind blows from one of the two sides: every case pushes the frame the same way, or not at all."
        )
    if not (pushed[:, 1] > PUSH_N).any():
        yield _look(
            frame, "wind-lifts-nothing", "No case of wind lifts the roof: suction, wind along the ridge and pressure inside are missing."
        )


def _first_upper(words: str) -> str:
    return words[:1].upper() + words[1:]
