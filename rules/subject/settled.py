"""A design with nothing left to take for granted: what was stated, what was taken, and what cannot be known."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from rules.subject.actions import Action
from rules.subject.design import Design
from rules.subject.material import Material

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Assumption:
    """A value taken for the caller. pointer: where it would be stated; confirm: who should ("designer", "site", "engineer")."""

    pointer: str
    value: object
    because: str
    confirm: str = "designer"
    citation: Mapping[str, object] | None = None


@dataclass(frozen=True, slots=True)
class SettledAction:
    """An action with what the code in force says of it. psi: ψ0, ψ1, ψ2; None in any place: not known, with `ask`."""

    action: Action
    duration: str | None
    psi: tuple[float | None, float | None, float | None]
    ask: tuple[str, ...] = ()

    @property
    def id(self) -> str:
        return self.action.id

    @property
    def variable(self) -> bool:
        """Neither permanent nor accidental nor seismic."""
        return self.action.nature in ("imposed", "roof-imposed", "snow", "wind")


@dataclass(frozen=True, slots=True)
class CombinationSet:
    """All combinations of one kind, K of them on C characteristic cases.

    actions: id of every case; permanent: which of them are; equations: of each combination; factors: (K, C); present: (K, C)
    which variable and accidental cases take part; durations: the shortest load duration in each, None where not known;
    accidental: (K,) whether it is an accidental one; gamma_g: (K,) factor of permanent load, for words; creep: (K, C) the quasi-permanent companion whose effect grows with
    creep, for serviceability sets.
    """

    name: str
    actions: tuple[str, ...]
    permanent: tuple[bool, ...]
    equations: tuple[str, ...]
    factors: Array
    present: NDArray[np.bool_]
    durations: tuple[str | None, ...]
    accidental: NDArray[np.bool_]
    creep: Array | None = None
    gamma_g: tuple[float, ...] = ()

    def __len__(self) -> int:
        return len(self.equations)

    def with_creep(self, creep: Array) -> CombinationSet:
        """The same set with its quasi-permanent companions."""
        return replace(self, creep=creep)

    def only(self, rows: Sequence[int]) -> CombinationSet:
        """The set with these combinations alone, in this order."""
        kept = list(rows)
        return replace(
            self,
            equations=tuple(map(self.equations.__getitem__, kept)),
            factors=self.factors[kept],
            present=self.present[kept],
            durations=tuple(map(self.durations.__getitem__, kept)),
            accidental=self.accidental[kept],
            creep=None if self.creep is None else self.creep[kept],
            gamma_g=tuple(map(self.gamma_g.__getitem__, kept)) if self.gamma_g else (),
        )

    def words(self, row: int) -> str:
        """One combination as printed: "(6.10) 1.35 G + 1.5 snow"; G is all permanent load, G_min what of it is surely there."""
        factors = self.factors[row].tolist()
        acting = [case for case in zip(self.actions, self.permanent, factors, strict=True) if case[2]]
        parts = self._permanent_words(row, {factor for _, permanent, factor in acting if permanent})
        parts += [f"{factor:.4g} {action}" for action, permanent, factor in acting if not permanent]
        return f"({self.equations[row]}) " + (" + ".join(parts) or "no load")

    def _permanent_words(self, row: int, factors: set[float]) -> list[str]:
        gamma = self.gamma_g[row] if self.gamma_g else None
        if gamma is None or not factors:
            return [f"{factor:.4g} G" for factor in sorted(factors)]
        return [f"{gamma:.4g} G" if factors == {gamma} else f"{gamma:.4g} G_min"]


@dataclass(frozen=True, slots=True)
class Lengths:
    """Buckling and restraint lengths of one piece in mm; in_plane has one per bay, NaN where nobody can tell."""

    in_plane: tuple[float, ...]
    out_of_plane: float
    top_edge: float
    bottom_edge: float
    in_plane_ask: str = ""


@dataclass(frozen=True)
class Settled:
    """What the analysis and the rules work from. materials, lengths: one per member, in order. seats: index of the member
    that bears on each support (None: no seat). brace_materials, anchor_materials: one per item of bracing. actions: one per solver case, self-weight first when added.
    triangulated: every panel of the frame is a triangle.
    """

    design: Design
    materials: tuple[Material, ...]
    service_class: int
    lengths: tuple[Lengths, ...]
    seat_members: tuple[int | None, ...]
    seat_materials: tuple[Material | None, ...]
    actions: tuple[SettledAction, ...]
    sets: Mapping[str, CombinationSet]
    brace_materials: tuple[Material | None, ...] = ()
    anchor_materials: tuple[Material | None, ...] = ()
    assumptions: tuple[Assumption, ...] = ()
    questions: tuple[str, ...] = field(default=())
    triangulated: bool = False
