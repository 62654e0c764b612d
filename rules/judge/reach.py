"""How far the loads of a design reach along the pieces they belong on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import accumulate, pairwise

from rules.judge.framed import Frame
from rules.judge.geometry import Line
from rules.library.pack import Expected
from rules.subject.actions import Action, LineLoad, NodeLoad, PointLoad
from rules.subject.frame import Member

BELOW = {"snow": ("rafter", "top-chord"), "imposed-area": ("joist", "top-chord"), "permanent": ("joist", "top-chord")}
"""The roles that carry what is expected without a role of its own."""
MUCH = 0.85
"""Share of a piece that is covered when it is covered; eaves and ends may be bare. Common practice, no published source."""
MIDDLE = 0.2
"""Nearer to an end of its bay than this share of it, a force hardly bends anything. Common practice, no published source."""


def bare(frame: Frame, own: Sequence[Action]) -> Iterator[tuple[Expected, list[str]]]:
    """Every expected load that is spread, which the design itself gives cases of, and that is not all along the pieces that carry it; with
    these pieces. Cases that were worked out beside its own count too, so that a design hears the same once it is written out."""
    lengths = {member.id: line.length for member, line in zip(frame.settled.design.members, frame.geometry.lines, strict=True)}
    for each in frame.selection.expected:
        roles = each.roles or BELOW.get(each.id, ())
        if each.form == "point" or each.named or not roles or not any(action.nature in each.natures and _spread(action) for action in own):
            continue
        given = [action for action in frame.settled.design.actions if action.nature in each.natures and _spread(action)]
        members = [member for member in frame.settled.design.members if member.role in roles]
        names = [member.id for member in members if _covered(member, lengths[member.id], given) < MUCH * lengths[member.id]]
        if names:
            yield each, names


def _spread(action: Action) -> bool:
    return any(isinstance(load, LineLoad | NodeLoad) for load in action.loads)


def _covered(member: Member, length: float, actions: Sequence[Action]) -> float:
    """mm of the piece under load when all stand on it that may stand together: of a group, the case that covers most."""
    groups: dict[str, list[tuple[float, float]]] = {}
    for action in actions:
        name, stretches = action.one_of or action.id, _stretches(member, length, action)
        groups[name] = max(groups.get(name, []), stretches, key=_joined)
    return _joined([stretch for each in groups.values() for stretch in each])


def _stretches(member: Member, length: float, action: Action) -> list[tuple[float, float]]:
    found = []
    for load in action.loads:
        if isinstance(load, LineLoad) and load.member == member.id and max(load.line_kn_per_m, load.line_end_kn_per_m or 0.0) > 0.0:
            found.append((load.from_mm or 0.0, length if load.to_mm is None else load.to_mm))
        if isinstance(load, NodeLoad) and load.node in member.nodes:
            found.append((0.0, length))
    return found


def _joined(stretches: Sequence[tuple[float, float]]) -> float:
    """Length of what these cover, counted once."""
    covered, reached = 0.0, float("-inf")
    for low, high in sorted(stretches):
        covered += max(0.0, high - max(low, reached))
        reached = max(reached, high)
    return covered


def only_at_joints(frame: Frame, own: Sequence[Action]) -> Iterator[Expected]:
    """Every concentrated load that is expected, given by the design itself alone, and stands nowhere but near joints and bearings."""
    worked_out = [each.action.id for each in frame.derived.derivations if not each.replaced and each.action.loads]
    bays = {member.id: line.bays for member, line in zip(frame.settled.design.members, frame.geometry.lines, strict=True)}
    for each in frame.selection.expected:
        if any(name.startswith(each.id) for name in worked_out):
            continue
        points = [
            load
            for action in own
            if action.nature in each.natures
            for load in action.loads
            if isinstance(load, PointLoad) and load.point_kn
        ]
        if each.form == "point" and points and all(_at_a_joint(load, bays[load.member]) for load in points):
            yield each


def _at_a_joint(load: PointLoad, bays: Sequence[float]) -> bool:
    if load.anywhere or load.at_mm is None:
        return False
    ends = (0.0, *accumulate(bays))
    return not any(low + MIDDLE * (high - low) < load.at_mm < high - MIDDLE * (high - low) for low, high in pairwise(ends))


STRETCH = 0.1
"""Share of a piece that makes a span or an overhang of its own."""


def never_in_part(frame: Frame, own: Sequence[Action]) -> list[str]:
    """Pieces of a floor with several spans, an overhang, or webs, on which the design's own load of use lies in full or not at all."""
    design = frame.settled.design
    asked = next((each for each in frame.selection.expected if each.id == "imposed-area"), None)
    if asked is None:
        return []
    use = [action for action in own if action.nature in asked.natures and any(isinstance(load, LineLoad) for load in action.loads)]
    if any(action.free for action in use):
        return []
    found = []
    for member, line in zip(design.members, frame.geometry.lines, strict=True):
        stood = [_joined(_stretches(member, line.length, action)) for action in use]
        parted = any(0.0 < covered < MUCH * line.length for covered in stood)
        if any(stood) and not parted and (design.component_type == "open-web-joist" or _spans(frame, member, line) > 1):
            found.append(member.id)
    return found


def _spans(frame: Frame, member: Member, line: Line) -> int:
    """Stretches of the piece between its bearings, and beyond them."""
    held = {support.node for support in frame.settled.design.supports}
    places = [0.0, *(at for node, at in zip(member.nodes, accumulate((0.0, *line.bays)), strict=True) if node in held), line.length]
    return sum(high - low > STRETCH * line.length for low, high in pairwise(places))
