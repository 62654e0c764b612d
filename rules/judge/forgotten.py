"""Loads that nobody gave: those the component type calls for, those the design tells of elsewhere, and those that are said not to last."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from rules.judge.cases import Said, briefer
from rules.judge.framed import Frame
from rules.judge.judgement import EngineRule, Judgement
from rules.judge.meant import meant
from rules.library.choosing import Selection
from rules.library.pack import Expected
from rules.library.rule import Kind
from rules.library.value import Value
from rules.subject.actions import Action, LineLoad, NodeLoad, PointLoad
from rules.subject.design import ROOF_TYPES, Design
from rules.subject.faults import pointer

EXPECTED = EngineRule("expected-actions", "No load the component type calls for is forgotten", "Forgotten loads are the commonest error.")


def forgotten(frame: Frame) -> Iterator[Judgement]:
    """Every guard of forgotten loads over one design."""
    design, selection = frame.settled.design, frame.selection
    both_ways = _falls_both_ways(frame)
    yield from _expected(design, selection.expected, both_ways=both_ways)
    yield from meant(frame, both_ways=both_ways)
    yield from _unknown_type(design, selection)
    yield from _brief(frame)
    yield from _gusty(frame)
    yield from _hasty(frame)
    yield from _tank(design)
    yield from _room(design, selection.values)


def _whole(design: Design, kind: Kind, message: str, *, part: str, asks: tuple[str, ...] = (), at: str) -> Judgement:
    return Judgement(EXPECTED, "design", design.reference, 0, kind, part, asks=asks, message=message, pointer=at)


def _unknown_type(design: Design, selection: Selection) -> Iterator[Judgement]:
    """A component of a type of which no code in force says what belongs to it: nothing was missed, because nothing was looked for."""
    if design.component_type == "other" and any(chosen.pack.layer == "code" for chosen in selection.packs):
        message = (
            'A component of the type "other" was judged with the loads and the bracing it states: which loads it has to carry, and what '
            "holds its pieces, was asked of nobody. Name its type, or let an engineer look. (component_type)"
        )
        yield _whole(design, Kind.REVIEW, message, part="component-type", at="/component_type")


def _brief(frame: Frame) -> Iterator[Judgement]:
    """Permanent load that is said not to last: k_mod would be that of a gust under tiles that stay for good."""
    named = [each.id for each in frame.settled.actions if each.action.nature == "permanent" and each.duration not in ("permanent", None)]
    if named:
        message = f"The design says that permanent load ({', '.join(named)}) lasts less than for good: an engineer must say why."
        yield _whole(frame.settled.design, Kind.REVIEW, message, part="duration", at="/actions")


def _gusty(frame: Frame) -> Iterator[Judgement]:
    """Weather and people that are said to act for an instant only, where the code in force has them last longer."""
    said = briefer(frame.settled.design, frame.selection.values)
    named = [name for name, word in said.items() if word == "instantaneous"]
    if named:
        message = f"The design says that {', '.join(named)} acts for an instant, and the code in force that it lasts longer: an engineer must say why."
        yield _whole(frame.settled.design, Kind.REVIEW, message, part="duration-instant", at="/actions")


def _hasty(frame: Frame) -> Iterator[Judgement]:
    """What is stored or lived with, spread over a piece, that is said to be gone sooner than the code in force takes it to be; one person is."""
    design, said = frame.settled.design, briefer(frame.settled.design, frame.selection.values)
    spread = {
        each.id for each in design.actions if each.nature == "imposed" and not all(isinstance(load, PointLoad) for load in each.loads)
    }
    named = [f"{name} ({word})" for name, word in said.items() if name in spread and word != "instantaneous"]
    if named:
        message = f"The design says that the load of use {', '.join(named)} lasts less long than the code in force takes it to: an engineer must say why."
        yield _whole(design, Kind.REVIEW, message, part="duration-use", at="/actions")


def _tank(design: Design) -> Iterator[Judgement]:
    """Water that is said to stand in the loft and that no load stands for."""
    litres = (design.roof.tank_litres if design.roof else None) or 0.0
    given = any(action.category == "tank" and action.loads for action in design.actions)
    declined = any(action.none_because and action.declines == "tank" for action in design.actions)
    if litres > 0.0 and not given and not declined:
        message = f"A tank of {litres:g} litres stands in the loft, and nothing of its weight is on the frame."
        ask = (
            "Where does it stand, and over how many components? (loading.tanks, or an action of category tank) Or decline it with a reason: "
            '{"id": "no-tank", "nature": "imposed", "declines": "tank", "none_because": "…"}'
        )
        yield _whole(design, Kind.OPEN, message, part="tank", asks=(ask,), at="/roof/tank_litres")


def _room(design: Design, values: Mapping[str, Value]) -> Iterator[Judgement]:
    """A room left in a roof, between posts that stand on a tie and under a collar, on whose floor nobody is to live: the code in force
    says of a category whether somebody does, and of one it does not know nobody can tell."""
    if design.component_type not in ROOF_TYPES or not _has_room(design):
        return
    ties = {member.id for member in design.members if member.role in FLOORED}
    lines = ((action, load) for action in design.actions for load in action.loads if isinstance(load, LineLoad) and load.member in ties)
    said = Said(values, design.site.altitude_m)
    lived_in = any(action.nature == "imposed" and said.of("room_use", action) == "lived-in" for action, _ in lines)
    declined = any(action.none_because and action.declines == "room" for action in design.actions)
    if not lived_in and not declined:
        message = (
            "The frame leaves a room between its posts and under its collar, and only storage, if anything, stands on the floor of it."
        )
        ask = (
            "What is the room used for? (loading.floor_use, or an action of its category on the tie) Or decline it with a reason: "
            '{"id": "no-room", "nature": "imposed", "declines": "room", "none_because": "…"}'
        )
        yield _whole(design, Kind.OPEN, message, part="room", asks=(ask,), at="/actions")


FLOORED = ("ceiling-tie", "bottom-chord")


def _has_room(design: Design) -> bool:
    """Whether two posts or more stand on ties under a collar."""
    ties = {node for member in design.members if member.role in FLOORED for node in member.nodes}
    posts = [member for member in design.members if member.role == "post" and ties & set(member.nodes)]
    return len(posts) > 1 and any(member.role == "collar" for member in design.members)


SLOPING = ("rafter", "top-chord")
LEVEL_DEG = 3.0
"""Flatter than this falls neither way."""


def _falls_both_ways(frame: Frame) -> bool:
    """Whether its rafters rise to the left as well as to the right, so that snow may lie on one slope only."""
    lines = (line for member, line in zip(frame.settled.design.members, frame.geometry.lines, strict=True) if member.role in SLOPING)
    ways = {line.cos * line.sin > 0.0 for line in lines if LEVEL_DEG < math.degrees(line.slope) < 90.0 - LEVEL_DEG}
    return len(ways) == 2


def _expected(design: Design, expected: Sequence[Expected], *, both_ways: bool) -> Iterator[Judgement]:
    for each in expected:
        given = [action for action in design.actions if not action.none_because and _matches(action, each, design)]
        declined = next((action for action in design.actions if action.none_because and action.declines == each.id), None)
        wanted = max(each.at_least, each.on_two_slopes if both_ways else 1)
        if len(given) >= wanted:
            continue
        if declined is not None:
            message = f"{each.what}: left out by the design, because: {declined.none_because}"
            yield _whole(design, Kind.INFORMATIONAL, message, part=each.id, at=pointer("actions", design.actions.index(declined)))
        else:
            how = f'{each.ask} Or decline it with a reason: {{"id": "no-{each.id}", "nature": "{each.natures[0]}", "declines": "{each.id}", "none_because": "…"}}'
            missing = f"{each.what} is expected for this kind of component and is not given"
            missing += f" {wanted} times, but {len(given)}." if given else "."
            yield _whole(design, Kind.OPEN, missing, part=each.id, asks=(how,), at="/actions")


def _matches(action: Action, expected: Expected, design: Design) -> bool:
    if expected.named is not None and action.id != expected.named:
        return False
    if action.nature not in expected.natures or not action.loads:
        return False
    return any(answers(load, expected, design) for load in action.loads)


def _acts(load: LineLoad | PointLoad | NodeLoad) -> bool:
    """Whether it is more than nothing: a load of nought is none."""
    match load:
        case LineLoad():
            return bool(load.line_kn_per_m or load.line_end_kn_per_m)
        case PointLoad():
            return bool(load.point_kn or load.moment_knm)
        case NodeLoad():
            return bool(load.x_kn or load.y_kn or load.moment_knm)


def answers(load: LineLoad | PointLoad | NodeLoad, expected: Expected, design: Design) -> bool:
    """Whether a load is of the form, and on the pieces, that an expectation asks for."""
    form = "line" if isinstance(load, LineLoad) else "point"
    if (expected.form is not None and form != expected.form) or not _acts(load):
        return False
    if not expected.roles:
        return True
    if isinstance(load, NodeLoad):
        return any(load.node in member.nodes and member.role in expected.roles for member in design.members)
    return any(member.id == load.member and member.role in expected.roles for member in design.members)
