"""Where every element goes furthest under a rule: the combination, the place along it, and demand and limit there."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from rules.judge.along import Axis, Rows
from rules.judge.sweeping import Furthest, Reach, Swept, furthest, reach
from rules.judge.ties import TIE
from rules.library.evidence import Evidence

Floats = NDArray[np.float64]
REACHED = {"decided": "known_ratio", "hidden": "hidden_size", "doubtful": "doubtful_ratio"}
"""What is swept -> the array of a Reach it is the greatest of."""


class Peak(NamedTuple):
    """Where one element goes furthest: the combination, the place, and demand and limit there. share: demand over limit, NaN where
    that is no number; exceeds: beyond round-off."""

    row: int
    column: int
    demand: float
    limit: float
    share: float
    exceeds: bool


_peak_of: Callable[[Iterable[Any]], Peak] = partial(tuple.__new__, Peak)

Peaks = dict[str, list[Peak | None]]
"""Of every element, by what was swept; None where it goes nowhere, and nothing at all where no element goes anywhere."""


class _Line(NamedTuple):
    """One thing that was swept of one rule. rule: the place of it among those swept; values: the array it is the greatest of; rows: those of far, in
    the evidence that values rest on."""

    rule: int
    track: str
    far: Furthest
    reach: Reach
    values: Floats
    rows: Rows


def find_peaks(swept: Sequence[Swept], axis: Axis) -> list[Peaks]:
    """Of every rule that was swept along this axis, all of them together: calls cost more than what they work on.

    The combinations that govern are kept at hand in the axis. A rule that breaks here says so in its `failure`.
    """
    found: list[Peaks] = [{} for _ in swept]
    lines = list(_lines(swept, axis))
    for line, peaks in zip(lines, _peaks(lines, _first_places(lines, axis)), strict=True):
        found[line.rule][line.track] = peaks
    return found


def _lines(swept: Sequence[Swept], axis: Axis) -> Iterator[_Line]:
    tracks = [(index, track, values) for index, each in enumerate(swept) for track, values in each.tracks if values is not None]
    far = furthest([values for _, _, values in tracks])
    if not far:
        return
    evidence, kept = axis.keep(each.rows[each.goes] for each in far)
    for (index, track, _), each in zip(tracks, far, strict=True):
        rows = each.rows if kept is None else np.searchsorted(kept, each.rows)
        if (there := _looked_at(swept[index], track, axis, evidence)) is not None:
            yield _Line(index, track, each, *there, rows)


def _looked_at(swept: Swept, track: str, axis: Axis, evidence: Evidence) -> tuple[Reach, Floats] | None:
    """The rule in the combinations that govern, and what of it was swept."""
    try:
        swept.reach = swept.reach or reach(swept.rule, axis, evidence)
        return None if swept.reach is None else (swept.reach, getattr(swept.reach, REACHED[track]))
    except Exception as failure:  # told as an open judgement of this rule
        swept.failure = failure
        return None


def _first_places(lines: Sequence[_Line], axis: Axis) -> NDArray[np.intp]:
    """(lines, elements): the first place of each element, in its row, that counts as its furthest."""
    count, starts = axis.shape[1], axis.starts
    if axis.is_dotted:
        return np.broadcast_to(starts, (len(lines), count))
    owners = axis.owners
    along, places = np.empty((len(lines), count)), np.arange(count)
    for line, values in zip(lines, along, strict=True):
        values[:] = _at(line.values, line.rows[owners], places)
    floors = np.reshape([line.far.floors for line in lines], (len(lines), len(starts)))
    hit = along >= np.fmin(floors, np.maximum.reduceat(along, starts, axis=1))[:, owners]
    first = np.minimum.reduceat(np.where(hit, places, count), starts, axis=1)
    return np.asarray(np.where(first < count, first, starts))


def _peaks(lines: Sequence[_Line], columns: NDArray[np.intp]) -> Iterator[list[Peak | None]]:
    """Of every line, its peaks at these places of its elements."""
    demand, limit = np.empty((2, *columns.shape))
    for line, places, own_demand, own_limit in zip(lines, columns, demand, limit, strict=True):
        own_demand[:] = _at(line.reach.demand, line.rows, places)
        own_limit[:] = _at(line.reach.limit, line.rows, places)
    with np.errstate(all="ignore"):
        share, exceeds = demand / limit, demand > limit * (1.0 + TIE)
    share[~((limit > 0.0) & np.isfinite(share))] = np.nan
    listed = (each.tolist() for each in (columns, demand, limit, share, exceeds))
    for line, *own in zip(lines, *listed, strict=True):
        found = map(_peak_of, zip(line.far.rows.tolist(), *own, strict=True))
        yield [peak if goes else None for peak, goes in zip(found, line.far.goes.tolist(), strict=True)]


def _at(values: Floats, rows: Rows, places: Rows) -> Any:
    """An array at these combinations and places; an axis of length one stands for all of it."""
    if values.ndim == 0:
        return values
    values = values[None] if values.ndim == 1 else values
    return values[rows if len(values) > 1 else 0, places if values.shape[1] > 1 else 0]
