"""Second order as the analysis of strength: every combination leaning both ways and bowed, balanced as it is displaced.

Effects of loads cannot be added then, so every combination is solved by itself, and a load without a place has none.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

import solver
from rules.judge.answers import Answers, mixed, of_the_frame
from rules.judge.arranging import Arrangement
from rules.judge.framed import Frame
from rules.judge.mechanics import build_frame
from rules.judge.properties import material_givens, named
from rules.library.evidence import Evidence, Given
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
    "In second order the effects of loads cannot be added, so a load that may stand anywhere or act in part has to be given a place: state one "
    "action for each place it is to be looked at, in one group (actions, one_of), or take another analysis (codes.parameters.analysis)."
)
UNKNOWN = "The design stiffness cannot be worked out: is each piece marked with its grade, or only the package? (materials.marking)"
LOST = "The frame finds no balance in second order (see the finding of second-order), so there are no forces to judge: stiffen or brace it in its plane."


def second_order(frame: Frame, base: CombinationSet) -> Answers:
    """The combinations of the set, two rows each; nothing but a question where they cannot be solved."""
    stiffness = _divisors(frame)
    if frame.alternatives or np.isnan(stiffness).any():
        return replace(of_the_frame(frame, base), ask=ROVING if frame.alternatives else UNKNOWN)
    _bounded(2 * len(base))
    rows = np.repeat(np.arange(len(base)), 2)
    try:
        found = _solved(frame, mixed(frame, base.factors)[rows], stiffness)
    except solver.Unstable as unstable:
        return replace(of_the_frame(frame, base), ask=LOST, lost=int(rows[unstable.combination]))
    arranged = Arrangement((), rows, np.full(len(rows), -1), LEANING * len(base))
    lifted = np.logical_or.reduce(found.lifted.reshape(len(base), 2, -1), axis=1)
    return Answers(found, mixed(frame, base.factors)[rows], found, lifted, arranged)


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
        build_frame(settled.design, frame.geometry, materials), frame.cases, np.where(factors == 0.0, TRACE, factors), wrong,
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
    found = np.broadcast_to(Evidence(selection.book, selection.values, given)[DIVISOR], (1, count))[0]
    return np.where([material.kind == "steel" for material in settled.materials], 1.0, found)


def _asked(frame: Frame, name: str) -> Floats:
    height = float(np.ptp(frame.geometry.xy[:, 1])) / 1000.0
    given = named(Given("frame_height", "h", "m", "height of the frame", height))
    return np.asarray(Evidence(frame.selection.book, frame.selection.values, given)[name])


def _bounded(rows: int) -> None:
    if rows > MOST_ROWS:
        detail = f"{rows // 2} combinations, each leaning both ways, are more than are solved in second order in one request."
        hint = "Put cases that never act together into one group (one_of), or take another analysis."
        at = pointer("codes", "parameters", "analysis")
        raise DesignRefused((Fault(at, "too-much-to-judge", detail, rows, MOST_ROWS, hint),))
