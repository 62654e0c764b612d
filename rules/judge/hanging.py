"""Which pieces hang on which plates at a node where several pairs join them: told by equilibrium alone, or not at all.

Pieces and joints make a net. Where cutting a joint from one of its pieces parts the net, all that hangs on that piece beyond the joint must come
through it. Pairs that join the same two pieces count as one joint, whose force they share. Any other ring leaves the shares untold.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from rules.subject.design import Design
from rules.subject.joints import Joint

Edge = tuple[tuple[str, ...], str]
"""A joint, by the ids of all pairs that count as it, and one of its pieces."""


@dataclass(frozen=True, slots=True)
class Hold:
    """What one joint holds. pieces: ids in the order of the document; behind: of each the pieces that hang on it beyond this joint, itself
    first; alike: the joints that hold the same two pieces, itself among them. ring: joints with which it shares pieces in a way that
    equilibrium does not tell; apart: pieces at the node that hang on none of what holds these."""

    pieces: tuple[str, ...]
    behind: tuple[tuple[str, ...], ...]
    alike: tuple[str, ...]
    ring: tuple[str, ...] = ()
    apart: tuple[str, ...] = ()

    @property
    def is_told(self) -> bool:
        """Whether equilibrium alone tells what it passes to each of its pieces."""
        return not self.ring and not self.apart


def holds(design: Design) -> Mapping[str, Hold]:
    """Of every joint by its id; joints that are judged elsewhere hold too."""
    joints = design.joints if isinstance(design.joints, tuple) else ()
    found: dict[str, Hold] = {}
    at: dict[str, list[Joint]] = {}
    for joint in joints:
        at.setdefault(joint.node, []).append(joint)
    here: dict[str, list[str]] = {node: [] for node in at}
    for member in design.members:
        for node in here.keys() & member.nodes:
            here[node].append(member.id)
    for node, those in at.items():
        found |= _at_node(those, tuple(here[node]))
    return found


def pieces_at(design: Design, node: str) -> tuple[str, ...]:
    """Ids of the pieces that meet there."""
    return tuple(member.id for member in design.members if node in member.nodes)


def _at_node(joints: Sequence[Joint], here: tuple[str, ...]) -> dict[str, Hold]:
    if len(joints) == 1 and not joints[0].pieces:  # all hang on it
        return {joints[0].id: Hold(here, tuple((name,) for name in here), (joints[0].id,))}
    joined = {joint.id: tuple(name for name in here if not joint.pieces or name in joint.pieces) for joint in joints}
    alike = {name: _alike(name, joined) for name in joined}
    edges = tuple(dict.fromkeys((alike[name], piece) for name, pieces in joined.items() for piece in pieces))
    return {name: _hold(alike[name], pieces, edges, here) for name, pieces in joined.items()}


def _alike(name: str, joined: Mapping[str, tuple[str, ...]]) -> tuple[str, ...]:
    """Pairs that join the same two pieces; of more pieces each pair is a joint of its own."""
    return tuple(other for other, pieces in joined.items() if pieces == joined[name]) if len(joined[name]) == 2 else (name,)


def _hold(group: tuple[str, ...], pieces: tuple[str, ...], edges: Sequence[Edge], here: tuple[str, ...]) -> Hold:
    sides = [_reached(piece, [edge for edge in edges if edge != (group, piece)]) for piece in pieces]
    ring = {name for joints, _ in sides for joint in joints if group in joints for name in joint} - set(group)
    apart = set(here) - {name for _, names in sides for name in names}
    behind = tuple(
        (piece, *(name for name in here if name in names and name != piece)) for piece, (_, names) in zip(pieces, sides, strict=True)
    )
    return Hold(pieces, behind, group, tuple(sorted(ring)), tuple(name for name in here if name in apart))


def _reached(piece: str, edges: Iterable[Edge]) -> tuple[set[tuple[str, ...]], set[str]]:
    """Joints and pieces that hang together with a piece along these edges."""
    joints: set[tuple[str, ...]] = set()
    names = {piece}
    grown = True
    while grown:
        grown = False
        for joint, name in edges:
            if (joint in joints) != (name in names):
                joints.add(joint)
                names.add(name)
                grown = True
    return joints, names
