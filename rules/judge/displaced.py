"""Second order as the analysis of strength: every combination leaning both ways and bowed, balanced as it is displaced.

Effects of loads cannot be added then, so every combination is solved by itself, and once for each place where a person may stand in it.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

import solver
from rules.judge.answers import Answers, mixed, of_the_frame
from rules.judge.arranging import Arrangement, placed
from rules.judge.framed import Frame
from rules.judge.mechanics import build_frame
from rules.judge.properties import material_givens, named
from rules.library.given import Given
from rules.library.labels import Labels
from rules.subject.faults import DesignRefused, Fault, pointer
from rules.subject.material import MODULUS, SHEAR_MODULUS, Material
from rules.subject.settled import CombinationSet

Floats = NDArray[np.float64]

DIVISOR, SWAY, BOW = "gamma_m_d", "initial_sway", "initial_bow"
"""What is asked of the code: by what stiffness is divided, by how much the frame leans (rad) and its bays bow (share of their length)."""
MOST_ROWS = 4_000
"""Published bound: combinations times the two ways of leaning that are solved in second order in one request."""
TRACE = 1e-12
"""Factor of cases that do not act in a combination: no force that anybody could measure, but the stations their loads ask for."""
LEANING = ("leaning to the right", "leaning to the left")
ROVING = (
    "In second order the effects of loads cannot be added, so loads that act in part, and two without a place at once, have to be given one: state one "
    "action for each place they are to be looked at, in one group (actions, one_of), or take another analysis (codes.parameters.analysis)."
)
TOO_MANY = (
    "In second order every place of a load without one is solved by itself, and here that is {rows} times where {most} are: give the load a place or "
    "few (actions, one_of, at_mm), leave out combinations that cannot govern, or take another analysis (codes.parameters.analysis)."
)
UNKNOWN = "The design stiffness cannot be worked out: is each piece marked with its grade, or only the package? (materials.marking)"
LOST = "The frame finds no balance in second order (see the finding of second-order), so there are no forces to judge: stiffen or brace it in its plane."


def second_order(frame: Frame, base: CombinationSet) -> Answers:
    """The combinations of the set, two rows for each place of what roves in them; nothing but a question where they cannot be solved."""
    stiffness = _divisors(frame)
    question = UNKNOWN if np.isnan(stiffness).any() else _unplaced(frame, base)
    if question:
        return replace(of_the_frame(frame, base), ask=question)
    arranged, factors = _each_place(frame, base)
    _bounded(len(factors))
    try:
        found = _solved(frame, factors, stiffness)
    except solver.Unstable as unstable:
        return replace(of_the_frame(frame, base), ask=LOST, lost=int(arranged.rows[unstable.combination]))
    first = np.flatnonzero(np.diff(arranged.rows, prepend=-1))
    return Answers(found, factors, found, np.logical_or.reduceat(found.lifted, first, axis=0), arranged)


def _unplaced(frame: Frame, base: CombinationSet) -> str:
    """What to ask where loads without a place cannot be solved place by place; empty where they can."""
    count = _places_in(frame, base)
    roving = [each.action for each in frame.alternatives]
    if not all(each.exclusive for each in frame.alternatives) or (np.count_nonzero(base.factors[:, roving], axis=1) > 1).any():
        return ROVING
    rows = 2 * int(count.sum())
    return TOO_MANY.format(rows=rows, most=MOST_ROWS) if roving and rows > MOST_ROWS else ""


def _places_in(frame: Frame, base: CombinationSet) -> NDArray[np.intp]:
    """(K,) how many places what roves in each combination has; 1 where nothing does."""
    count = np.ones(len(base), dtype=np.intp)
    for each in frame.alternatives:
        count[base.factors[:, each.action] != 0.0] = len(each.places)
    return count


def _each_place(frame: Frame, base: CombinationSet) -> tuple[Arrangement, Floats]:
    """Every combination once for each place and each way of leaning, and the cases that act in it."""
    count = 2 * _places_in(frame, base)
    rows = np.repeat(np.arange(len(base)), count)
    within = (np.arange(len(rows)) - np.repeat(np.cumsum(count) - count, count)) // 2
    factors, ways = mixed(frame, base.factors)[rows], np.full(len(rows), -1)
    for each in frame.alternatives:
        (acting,) = np.nonzero(base.factors[rows, each.action])
        factors[acting, each.rows.start + within[acting]] = base.factors[rows[acting], each.action]
        ways[acting] = within[acting]
    groups = tuple(placed(each) for each in frame.alternatives)
    return Arrangement(groups, rows, ways, LEANING * (len(rows) // 2)), factors


def balance_givens(answers: Answers, arranged: Arrangement) -> dict[str, Given]:
    """Of every row: whether it is the combination in which no balance was found."""
    lost = (arranged.rows == answers.lost) if answers.lost is not None else np.zeros(len(arranged.rows), dtype=np.bool_)
    unknown = bool(answers.ask) and answers.lost is None
    value = np.full((len(lost), 1), np.nan) if unknown else lost[:, None].astype(np.float64)
    return named(Given("lost_balance", "lost", "1", "1 where no balance is found", value, answers.ask if unknown else ""))


def _solved(frame: Frame, factors: Floats, stiffness: Floats) -> solver.Combined:
    """(2 K rows) leaning right, left, right, ...; read at the stations of first order."""
    settled, layout = frame.settled, frame.response.layout
    materials = tuple(_softened(each, by) for each, by in zip(settled.materials, stiffness, strict=True))
    sway = float(_asked(frame, SWAY)) * np.tile((1.0, -1.0), len(factors) // 2)
    wrong = solver.Imperfection(sway, float(_asked(frame, BOW)))
    divisions = _divisions(len(layout.shares))
    found = solver.second_order(
        build_frame(settled.design, frame.geometry, materials), [*frame.cases, *frame.moving], np.where(factors == 0.0, TRACE, factors), wrong,
        divisions=divisions, stations=(len(layout.shares) - 1) // divisions + 1,
    )  # fmt: skip
    return solver.undivided(found, layout, divisions)


def _divisions(stations: int) -> int:
    """Parts of a bay, about five, whose ends are stations of the whole one."""
    return next(parts for parts in (5, 4, 6, 3, 2, 1) if (stations - 1) % parts == 0)


def _softened(material: Material, by: float) -> Material:
    moduli = {name: material.properties[name] / by for name in (MODULUS, SHEAR_MODULUS) if name in material.properties}
    return replace(material, properties={**material.properties, **moduli})


def _divisors(frame: Frame) -> Floats:
    """(members,) the partial factor of each piece's stiffness, that of lasting situations throughout; 1 of steel."""
    settled, selection = frame.settled, frame.selection
    count = len(settled.materials)
    given = material_givens(selection.reference, settled.materials, settled.design.members, np.arange(count)) | named(
        Given("marking", "marking", "", "how the timber is marked", Labels.one(settled.design.marking)),
        Given("is_accidental", "accidental", "", "accidental combination", np.array(False)),
    )
    found = np.broadcast_to(selection.evidence(given)[DIVISOR], (1, count))[0]
    return np.where([material.kind == "steel" for material in settled.materials], 1.0, found)


def _asked(frame: Frame, name: str) -> Floats:
    height = float(np.ptp(frame.geometry.xy[:, 1])) / 1000.0
    given = named(Given("frame_height", "h", "m", "height of the frame", height))
    return np.asarray(frame.selection.evidence(given)[name])


def _bounded(rows: int) -> None:
    if rows > MOST_ROWS:
        detail = f"{rows // 2} combinations, each leaning both ways, are more than are solved in second order in one request."
        hint = "Put cases that never act together into one group (one_of), or take another analysis."
        at = pointer("codes", "parameters", "analysis")
        raise DesignRefused((Fault(at, "too-much-to-judge", detail, rows, MOST_ROWS, hint),))
