"""Joint lines that hold a joint together: a tree over its pieces, so that equilibrium alone tells what crosses each line."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import shapely

from rules.judge.outlines import FAR, Body, Cut, Point

TOUCH = 1e-6
"""mm by which outlines that meet are taken to overlap, so that rounding does not part them."""
SHORTEST = 0.1
"""mm of joint line below which nothing is taken to hang on it."""


@dataclass(frozen=True, slots=True)
class Link:
    """A joint line through which one side of the joint hangs on the other. bodies: those on the near side, whose first is the one that is
    cut here; cut: the line, its normal pointing to that side, None where no line is covered; spans: (length, middle) at every place."""

    bodies: tuple[int, ...]
    other: int
    cut: Cut | None
    spans: tuple[tuple[float, Point], ...]


def tree(bodies: tuple[Body, ...], placed: Sequence[shapely.Polygon]) -> tuple[Link, ...]:
    """Links that join all bodies, over the lines the plate covers most: what hangs on each is then told by equilibrium alone."""
    shapes = [body.outline().buffer(TOUCH, join_style="mitre") for body in bodies]
    lines = [
        (i, cut, _spans(cut, (shapes[i], shapes[cut.against]), placed))
        for i, body in enumerate(bodies)
        for cut in body.cuts
        if cut.against is not None
    ]
    lines.sort(key=lambda line: -round(line[2][0][0], 6))  # equal but for rounding: the first stands
    group = list(range(len(bodies)))
    kept: list[tuple[int, int, Cut, tuple[tuple[float, Point], ...]]] = []
    for i, cut, spans in lines:
        assert cut.against is not None
        if spans[0][0] > SHORTEST and group[i] != group[cut.against]:
            old, new = group[i], group[cut.against]
            group = [new if each == old else each for each in group]
            kept.append((i, cut.against, cut, spans))
    links = [Link(_side(i, other, kept), other, cut, spans) for i, other, cut, spans in kept]
    return (*links, *loose([first for first in dict.fromkeys(group) if first != group[0]], placed))


def loose(bodies: Iterable[int], placed: Sequence[object]) -> tuple[Link, ...]:
    """Links of pieces that hang on no line that is covered: of unknown length, so that what they pass stays open."""
    nothing = tuple((math.nan, (math.nan, math.nan)) for _ in placed)
    return tuple(Link((body,), 0, None, nothing) for body in bodies)


def _side(start: int, other: int, kept: Sequence[tuple[int, int, Cut, object]]) -> tuple[int, ...]:
    """All bodies that hang on `start` when its link to `other` is cut."""
    found, todo = [start], [start]
    while todo:
        here = todo.pop()
        near = [b if a == here else a for a, b, *_ in kept if here in (a, b) and {a, b} != {start, other}]
        new = [each for each in near if each not in found]
        found += new
        todo += new
    return tuple(found)


def _spans(cut: Cut, both: tuple[shapely.Polygon, shapely.Polygon], placed: Sequence[shapely.Polygon]) -> tuple[tuple[float, Point], ...]:
    """Length and middle of the joint line under every plate: where both pieces border on it."""
    (x, y), (a, b) = cut.point, cut.inward
    whole = shapely.LineString([(x + b * FAR, y - a * FAR), (x - b * FAR, y + a * FAR)])
    for shape in both:
        whole = whole.intersection(shape)
    return tuple(_measured(whole.intersection(plate)) for plate in placed)


def _measured(line: shapely.Geometry) -> tuple[float, Point]:
    if line.length <= 0.0:
        return 0.0, (math.nan, math.nan)
    middle = line.interpolate(0.5, normalized=True)
    return float(line.length), (middle.x, middle.y)
