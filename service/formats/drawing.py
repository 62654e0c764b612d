"""What a drawing of a frame shows: every piece as a line in millimetres on paper, coloured, dashed and marked by the worst that was found of it."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from service.formats.found import alike
from service.formats.standing import AGAINST, kind, level, shown
from service.formats.wording import Values

Point = tuple[float, float]
LOOKS: Mapping[str, tuple[str, str, str]] = {
    "fail": ("#a11d1d", "", "not met"), "open": ("#9a6200", "9 5", "open"), "review": ("#14607a", "2 4", "for a person to look at"),
    "pass": ("#4b6b50", "", "met"), "none": ("#8d8779", "", "nothing said of it"),
    "plain": ("#4a443c", "", "a piece of the frame"),
}  # fmt: skip
"""How a piece looks by the worst found of it: colour, dashes, words. Colour is never the only sign."""
_RANK = ("fail", "open", "review", "pass")


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece of timber on paper. ends: points along it; wide: of the line; worst: a key of LOOKS; used: greatest utilisation."""

    id: str
    ends: tuple[Point, ...]
    wide: float
    worst: str
    used: float | None


@dataclass(frozen=True, slots=True)
class Mark:
    """A numbered place of a finding that stands against the design."""

    number: int
    at: Point
    worst: str


@dataclass(frozen=True, slots=True)
class Drawing:
    """A frame on paper, y down. marks: places of numbered findings; told: what was found in the order of its numbers, each with what says
    the same of other elements. stretched: how many times higher it is drawn than it is, so that a shallow frame can be read."""

    wide: float
    high: float
    pieces: tuple[Piece, ...]
    nodes: tuple[tuple[str, Point], ...]
    supports: tuple[tuple[str, Point, bool], ...]
    marks: tuple[Mark, ...]
    told: tuple[Sequence[Values], ...]
    stretched: int = 1


SHALLOW, MOST_STRETCHED = 0.11, 4
"""Frames less high than this share of their length are drawn higher than they are, and how many times at most."""


def drawing(report: Values, wide: float = 1000.0, margin: float = 60.0) -> Drawing | None:
    """The frame of a report, so many units wide; None where the report carries no frame that can be drawn."""
    frame = report.get("frame") or {}
    places = {str(node["id"]): (float(node["x_mm"]), float(node["y_mm"])) for node in frame.get("nodes") or []}
    if len(places) < 2:
        return None
    left, right = min(x for x, _ in places.values()), max(x for x, _ in places.values())
    low, top = min(y for _, y in places.values()), max(y for _, y in places.values())
    scale = min((wide - 2 * margin) / max(right - left, 1.0), 0.6 * wide / max(top - low, 1.0))
    stretched = _stretched(right - left, top - low)
    high = stretched * scale * (top - low)
    shift = (wide - scale * (right - left)) / 2
    found = shown(report)
    told = numbered(found)
    above = margin if not told or high > 2 * margin else 1.5 * margin
    paper = {name: (shift + scale * (x - left), above + stretched * scale * (top - y)) for name, (x, y) in places.items()}
    lengths = {
        str(member["id"]): math.dist(places[member["nodes"][0]], places[member["nodes"][-1]]) for member in frame.get("members") or []
    }
    members = {str(member["id"]): tuple(paper[name] for name in member["nodes"]) for member in frame.get("members") or []}
    return Drawing(
        wide, 2 * above + high, tuple(_pieces(frame, members, found, scale)), tuple(paper.items()),
        tuple((str(each["id"]), paper[each["node"]], "x" in each["holds"]) for each in frame.get("supports") or []),
        tuple(_marks(told, members, paper, _held(report), lengths)), told, stretched,
    )  # fmt: skip


def _stretched(length: float, height: float) -> int:
    """How many times higher a frame is drawn than it is: 1 unless it is shallow; a level line stays one."""
    if height <= 0.0 or height >= SHALLOW * length:
        return 1
    return min(MOST_STRETCHED, math.ceil(SHALLOW * length / height))


def unjudged(drawn: Drawing, words: str) -> Drawing:
    """The same frame for who builds it: the names of its pieces and bearings, and of those nodes that these words speak of."""
    spoken_of = {name for name, _ in drawn.nodes if re.search(rf"(?<!\w){re.escape(name)}(?!\w)", words)}
    return replace(
        drawn, pieces=tuple(replace(piece, worst="plain", used=None) for piece in drawn.pieces), marks=(), told=(),
        nodes=tuple(node for node in drawn.nodes if node[0] in spoken_of),
    )  # fmt: skip


def numbered(found: Sequence[Values]) -> tuple[Sequence[Values], ...]:
    """What stands against the design or waits for somebody, in the order in which a drawing numbers it; what says the same of one element
    after another has one number."""
    return tuple(alike(finding for finding in found if kind(finding) in AGAINST and not finding.get("waiver")))


def numbers(found: Sequence[Values]) -> dict[str, str]:
    """The number a drawing gives to each of these findings, by the finding's id."""
    return {str(finding.get("id")): str(number) for number, same in enumerate(numbered(found), 1) for finding in same}


def _pieces(frame: Values, members: Mapping[str, Sequence[Point]], found: Sequence[Values], scale: float) -> Iterator[Piece]:
    for member in frame.get("members") or []:
        own = [finding for finding in found if (finding.get("where") or {}).get("member") == member["id"]]
        shares = [
            float(finding["utilisation"]) for finding in own if isinstance(finding.get("utilisation"), int | float) and _counts(finding)
        ]
        depth = member.get("depth_mm")
        yield Piece(
            str(member["id"]), tuple(members[str(member["id"])]), max(3.0, scale * float(depth or 0.0)), worst_of(own), max(shares, default=None),
        )  # fmt: skip


def _counts(finding: Values) -> bool:
    return kind(finding) in ("pass", "fail")


def worst_of(found: Sequence[Values]) -> str:
    """A key of LOOKS: the gravest kind among what was found and not waived; a fail below level error is for a person to look at."""
    kinds = {
        kind(finding) if kind(finding) != "fail" or level(finding) == "error" else "review"
        for finding in found
        if not finding.get("waiver")
    }
    return next((each for each in _RANK if each in kinds), "none")


def _held(report: Values) -> dict[tuple[str, str], str]:
    """The node of every support and of every joint whose plates are given."""
    supports = {("support", str(each["id"])): str(each["node"]) for each in report["frame"].get("supports") or []}
    joints = (report.get("quantities") or {}).get("joints") or []
    return supports | {("joint", str(each["joint"])): str(each["node"]) for each in joints if each.get("node") is not None}


def _marks(
    told: Sequence[Sequence[Values]], members: Mapping[str, Sequence[Point]], paper: Mapping[str, Point], held: Mapping[tuple[str, str], str],
    lengths: Mapping[str, float],
) -> Iterator[Mark]:  # fmt: skip
    for number, same in enumerate(told, 1):
        for finding in same:
            at = _place(finding.get("where") or {}, members, paper, held, lengths)
            if at:
                yield Mark(number, at, worst_of([finding]))


def _place(
    where: Values, members: Mapping[str, Sequence[Point]], paper: Mapping[str, Point], held: Mapping[tuple[str, str], str],
    lengths: Mapping[str, float],
) -> Point | None:  # fmt: skip
    name = str(where.get("member"))
    if members.get(name):
        at = where.get("at_mm")
        return along(members[name], float(at) / lengths[name] if isinstance(at, int | float) and lengths[name] else 0.5)
    nodes = [where.get("node"), *(held.get((kind, str(where.get(kind)))) for kind in ("joint", "support"))]
    return next((paper[str(node)] for node in nodes if str(node) in paper), None)


def along(ends: Sequence[Point], share: float = 0.5) -> Point:
    """The point at that share of a piece's length, at one of its ends at most."""
    (x0, y0), (x1, y1), share = ends[0], ends[-1], min(max(share, 0.0), 1.0)
    return x0 + share * (x1 - x0), y0 + share * (y1 - y0)
