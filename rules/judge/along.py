"""One set of combinations seen along one kind of element: the evidence of all of it, and parts of it that are small enough to be quick."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rules.judge.arranging import Arrangement
from rules.judge.places import Spot
from rules.library.evidence import Evidence
from rules.library.labels import Labels
from rules.library.part import Part
from rules.subject.settled import CombinationSet

Floats = NDArray[np.float64]
Rows = NDArray[np.intp]

CELLS = 64_000
"""Combinations times places worked on at once: arrays of this size stay near the processor, larger ones wait for memory at every step."""


@dataclass(frozen=True)
class Axis:
    """ids: the elements; slices: where each element's places lie; at: position of every place along its element in mm, None where
    a place is the element. base: the set as combined; arranged: how its roving loads stand in each of the rows that evidence has.
    lifted: (base combinations, supports) bearings that let go. spots: of every place, where places have names; pointers: of every element,
    where its kind and index do not say it. told, kept, worked_out: words, evidence and quantities at hand of combinations that are looked
    at again."""

    ids: tuple[str, ...]
    slices: tuple[slice, ...]
    at: Floats | None
    base: CombinationSet
    arranged: Arrangement
    evidence: Evidence
    lifted: NDArray[np.bool_]
    spots: tuple[Spot, ...] = ()
    pointers: tuple[str, ...] = ()
    told: dict[int, str] = field(default_factory=dict, repr=False)
    kept: dict[int, tuple[Evidence, int]] = field(default_factory=dict, repr=False)
    worked_out: dict[tuple[str, str], Floats] = field(default_factory=dict, repr=False)

    @cached_property
    def starts(self) -> Rows:
        """The first place of every element."""
        return np.array([each.start for each in self.slices], dtype=np.intp)

    @cached_property
    def owners(self) -> Rows:
        """Whose every place is."""
        return np.repeat(np.arange(len(self.ids)), [each.stop - each.start for each in self.slices])

    @cached_property
    def is_dotted(self) -> bool:
        """Whether every element is one place."""
        return all(each.stop - each.start == 1 for each in self.slices)

    def greatest(self, values: Floats) -> Floats:
        """(combinations, or 1 for all alike, elements): the greatest over each element's places, of anything that broadcasts over (combinations, places)."""
        if values.ndim < 2 or values.shape[1] != self.shape[1]:
            values = np.broadcast_to(values, (len(values) if values.ndim == 2 else 1, self.shape[1]))
        return values if self.is_dotted else np.maximum.reduceat(values, self.starts, axis=1)

    @cached_property
    def shape(self) -> tuple[int, int]:
        """(arranged combinations, places)."""
        return len(self.arranged.rows), self.slices[-1].stop if self.slices else 0

    @cached_property
    def is_small(self) -> bool:
        """Whether all of it is worked on at once."""
        return self.shape[0] * self.shape[1] <= CELLS

    @cached_property
    def stands(self) -> list[float] | None:
        """Position of every place along its element in mm."""
        return None if self.at is None else self.at.tolist()

    def pointer(self, index: int) -> str | None:
        """Where an element stands in the document, if its kind and index do not say it."""
        return self.pointers[index] if self.pointers else None

    def words(self, row: int, place: int, effect: str | None = None) -> str:
        """The combination as printed, with where its roving loads then stand (for this effect; by default the first)."""
        text = self.told.get(row) or self.told.setdefault(row, self._named(row))
        if not self.arranged.groups:
            return text
        name = effect or next(iter(self.arranged.groups[0].parts))
        stands = self.arranged.stand(row, place, name, self.base.factors)
        told = [f"{self.base.actions[action]} {where.words()}" for action, where in stands]
        return f"{text} [{'; '.join(told)}]" if told else text

    def _named(self, row: int) -> str:
        text = self.base.words(int(self.arranged.rows[row]))
        return f"{text}, {self.arranged.words[row]}" if self.arranged.words else text

    def parts(self) -> Iterator[tuple[Rows, Evidence]]:
        """All combinations, some at a time, with their evidence. Those of a part are alike in duration and kind, as far as can be."""
        if self.is_small:
            yield np.arange(self.shape[0]), self.evidence
            return
        most = max(1, CELLS // self.shape[1])
        for alike in self._alike():
            for start in range(0, len(alike), most):
                rows = alike[start : start + most]
                yield rows, Part(self.evidence, rows)

    def whole(self, name: str) -> Floats:
        """(combinations, places) A quantity of all combinations. What it rests on is at hand for some of them at a time only, so that
        memory does not grow with every step that leads to it."""
        if ("whole", name) not in self.worked_out:
            found = np.empty(self.shape)
            for rows, evidence in self.parts():
                found[rows] = evidence[name]
            self.worked_out["whole", name] = found
        return self.worked_out["whole", name]

    def most(self, name: str) -> Floats:
        """(places,) The greatest of a quantity over all combinations; not a number where it is not known in one of them."""
        if ("most", name) not in self.worked_out:
            found = np.full(self.shape[1], -np.inf)
            for rows, evidence in self.parts():
                found = np.maximum(found, np.broadcast_to(evidence[name], (len(rows), self.shape[1])).max(axis=0))
            self.worked_out["most", name] = found
        return self.worked_out["most", name]

    def _alike(self) -> list[Rows]:
        """Rows in groups within which no word and no yes or no differs."""
        columns = [each for given in self.evidence.given.values() if (each := _words_down(given.value)) is not None]
        if not columns:
            return [np.arange(self.shape[0])]
        _, group = np.unique(np.stack(columns), axis=1, return_inverse=True)
        order = np.argsort(group.ravel(), kind="stable")
        return np.split(order, np.flatnonzero(np.diff(group.ravel()[order])) + 1)

    def keep(self, several: Iterable[Rows]) -> tuple[Evidence, Rows | None]:
        """Evidence of these combinations together, to be at hand for `of`, and which rows it has; None: all there are."""
        if self.is_small:
            return self.evidence, None
        rows = np.unique(np.concatenate(list(several)))
        part = Part(self.evidence, rows)
        self.kept.update((int(row), (part, place)) for place, row in enumerate(rows))
        return part, rows

    def of(self, row: int) -> tuple[Evidence, int]:
        """Evidence that holds this combination, and its row there."""
        if self.is_small:
            return self.evidence, row
        if row not in self.kept:
            self.keep([np.array([row], dtype=np.intp)])
        return self.kept[row]


def _words_down(value: object) -> NDArray[np.intp] | None:
    """Numbers for the words, or the yes and no, of a column over combinations; None for anything else."""
    codes = value.codes if isinstance(value, Labels) else value
    if not isinstance(codes, np.ndarray) or codes.ndim != 2 or codes.shape[1] != 1 or len(codes) < 2 or codes.dtype.kind not in "ib":
        return None
    return codes[:, 0].astype(np.intp)
