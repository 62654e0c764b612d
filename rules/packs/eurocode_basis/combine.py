"""EN 1990 combinations of actions: every subset of the variable actions that can act together, every origin leading.

Sources, from memory unless the pack's values say otherwise: EN 1990 6.4.3.2 (6.10)-(6.10b), 6.4.3.3 (6.11), 6.5.3
(6.14)-(6.16), Table A1.2(A) for equilibrium; EN 1991-1-1 3.3.2(1): imposed roof load never with snow or wind.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from itertools import chain, repeat
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rules.library import Value
from rules.library.combining import RANKS, clashes, number, shortest, subsets
from rules.library.pruning import useful
from rules.subject.faults import TooManyCombinations
from rules.subject.settled import CombinationSet, SettledAction

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

MOST = 4_000
MOST_LOOKED_AT = 40_000
"""Published bounds: combinations of one set that are judged, and that are looked at before those that can govern nothing are left out.
More is refused, never thinned out."""
APART = (("roof-imposed", "snow"), ("roof-imposed", "wind"))
"""Natures that never act together, EN 1991-1-1 3.3.2(1)."""

Block = tuple[str, Floats, Bools, bool, float]
"""Equation, factors (rows, cases), which variable and accidental cases take part (rows, cases), whether accidental, factor of
permanent load."""


def combine(actions: Sequence[SettledAction], values: Mapping[str, Value]) -> dict[str, CombinationSet]:
    """The combination sets for these characteristic cases, without those combinations that govern nothing.

    An unknown ψ is NaN and makes every number that rests on it NaN: the judge turns that into the question to ask.
    """
    return {name: _pruned(each) for name, each in combine_all(actions, values).items()}


def combine_all(actions: Sequence[SettledAction], values: Mapping[str, Value]) -> dict[str, CombinationSet]:
    """Every combination of every subset of the variable actions, whether or not it can govern."""
    together, origins = subsets(actions, APART), _origins(actions)
    permanent = np.array([each.action.nature == "permanent" and not each.action.none_because for each in actions], dtype=np.float64)
    surely = permanent * np.array([each.action.least_share for each in actions])
    psi = np.array([[math.nan if p is None else p for p in each.psi] for each in actions]).reshape(-1, 3).T
    lasting, often = _leaders(together, origins, psi[0]), _leaders(together, origins, psi[2])
    sets = {
        "ultimate": [*_strength(lasting, together, permanent, surely, psi, values), *_accidental(actions, together, permanent, psi)],
        "equilibrium": list(_equilibrium(lasting, permanent, surely, values)),
        "characteristic": [_led("6.14b", lasting, permanent, 1.0, 1.0)],
        "frequent": [_led("6.15b", often, permanent, 1.0, 1.0, leading=psi[1])],
        "quasi-permanent": [("6.16b", permanent + _share(together, psi[2]), together, False, 1.0)],
    }
    made = {name: _set(name, blocks, actions) for name, blocks in sets.items()}
    growing = made["characteristic"].present.astype(float)
    return made | {"characteristic": made["characteristic"].with_creep(permanent + _share(growing > 0.0, psi[2]))}


def _share(together: Bools, psi: Floats) -> Floats:
    """ψ on every case that takes part; an unknown ψ of one that does not is no matter."""
    return np.where(together, psi, 0.0)


class Leaders(NamedTuple):
    """(rows, cases): which cases take part, which of them lead, and ψ of those that take part."""

    present: Bools
    led: Bools
    share: Floats


def _leaders(together: Bools, origins: Bools, psi: Floats) -> Leaders:
    """The cases of each origin in each subset leading in turn.

    A case whose ψ is 1 needs not lead where another can: what it would leave to the other lies between that other's absence
    and its leading, both of which are there.
    """
    may_lead = together & (psi != 1.0)
    may_lead |= together & ~may_lead.any(axis=1, keepdims=True)
    subset, leader = np.nonzero(may_lead @ origins.T)
    alone = np.flatnonzero(~together.any(axis=1))
    rows = np.concatenate([alone, subset])
    order = rows.argsort(kind="stable")
    led = np.concatenate([np.zeros((len(alone), together.shape[1]), dtype=np.bool_), origins[leader]])
    present = together[rows[order]]
    return Leaders(present, led[order] & present, _share(present, psi))


def _led(
    equation: str, cases: Leaders, permanent: Floats, gamma_g: float, gamma_q: float, *, leading: Floats | None = None
) -> Block:  # fmt: skip
    """Leading cases with γ_Q (or their own ψ), the others with ψ."""
    full = gamma_q if leading is None else leading
    factors = gamma_g * permanent + np.where(cases.led, full, gamma_q * cases.share)
    return equation, factors, cases.present, False, gamma_g


def _origins(actions: Sequence[SettledAction]) -> Bools:
    """(origins, cases): what comes from one origin and so leads as one: all wind, inside and outside; all snow; all use.

    EN 1990 1.5.3.1, EN 1991-1-1 3.3.1(2) for imposed loads; from memory.
    """
    natures = [each.action.nature for each in actions]
    return np.array([[each == origin for each in natures] for origin in dict.fromkeys(natures)], dtype=np.bool_).reshape(-1, len(actions))


def _strength(
    lasting: Leaders, together: Bools, permanent: Floats, surely: Floats, psi: Floats, values: Mapping[str, Value]
) -> Iterator[Block]:
    """All permanent load of one origin takes one factor throughout (EN 1990 6.4.3.1(4)): greater or lesser, never mixed.

    With the lesser factor only what is surely there counts.
    """
    sup, inf, gamma_q = number(values, "gamma_g_sup"), number(values, "gamma_g_inf"), number(values, "gamma_q")
    if values["combination_rule"].number == "6.10a/b":
        for gamma_g, weight in ((sup, permanent), (inf, surely)):
            yield "6.10a", gamma_g * weight + gamma_q * _share(together, psi[0]), together, False, gamma_g
        for gamma_g, weight in ((number(values, "xi") * sup, permanent), (inf, surely)):
            yield _led("6.10b", lasting, weight, gamma_g, gamma_q)
    else:
        for gamma_g, weight in ((sup, permanent), (inf, surely)):
            yield _led("6.10", lasting, weight, gamma_g, gamma_q)


def _accidental(actions: Sequence[SettledAction], together: Bools, permanent: Floats, psi: Floats) -> Iterator[Block]:
    """Each accident with every subset of the variable cases that may act together with it."""
    for index, each in enumerate(actions):
        if each.action.nature == "accidental" and each.action.none_because is None:
            beside = together[~together[:, clashes(actions, APART)[index]].any(axis=1)]
            cases = _leaders(beside, _origins(actions), psi[2])
            _, factors, present, _, _ = _led("6.11", cases, permanent, 1.0, 1.0, leading=psi[1])
            struck = np.arange(len(actions)) == index
            yield "6.11", factors + struck, present | struck, True, 1.0


def _equilibrium(lasting: Leaders, permanent: Floats, surely: Floats, values: Mapping[str, Value]) -> Iterator[Block]:
    for name, weight in (("gamma_g_equ_inf", surely), ("gamma_g_equ_sup", permanent)):
        yield _led("6.10 EQU", lasting, weight, number(values, name), number(values, "gamma_q"))


def _set(name: str, blocks: Sequence[Block], actions: Sequence[SettledAction]) -> CombinationSet:
    """The blocks as one set. A case takes part where its factor is not nought: one that is left out shortens no load."""
    factors = np.concatenate([factors for _, factors, _, _, _ in blocks])
    if len(factors) > MOST_LOOKED_AT:
        raise TooManyCombinations(f"the variable actions make {len(factors)} combinations, more than {MOST_LOOKED_AT}")
    present = np.concatenate([present for _, _, present, _, _ in blocks]) & (factors != 0.0)
    rows = [len(factors) for _, factors, _, _, _ in blocks]
    return CombinationSet(
        name=name,
        actions=tuple(each.id for each in actions),
        permanent=tuple(each.action.nature == "permanent" for each in actions),
        equations=tuple(chain.from_iterable(map(repeat, [equation for equation, _, _, _, _ in blocks], rows))),
        factors=factors,
        present=present,
        durations=shortest(actions, present),
        accidental=np.repeat([accidental for _, _, _, accidental, _ in blocks], rows),
        gamma_g=tuple(chain.from_iterable(map(repeat, [gamma_g for _, _, _, _, gamma_g in blocks], rows))),
    )


def _pruned(whole: CombinationSet) -> CombinationSet:
    """Without combinations that are another, or a share of another, under no shorter a load; refused where too many are left."""
    multipliers = whole.factors if whole.creep is None else np.hstack([whole.factors, whole.creep])
    ranks = np.array([*map(RANKS.__getitem__, whole.durations)], dtype=np.intp)
    rows = useful(multipliers, ranks, whole.accidental)
    if len(rows) > MOST:
        raise TooManyCombinations(f"the variable actions make {len(rows)} combinations, more than {MOST}")
    return whole.only(rows.tolist())
