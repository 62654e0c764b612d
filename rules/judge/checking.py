"""One design, once through: choose, settle, solve, gather, judge, report."""

from __future__ import annotations

import datetime
from dataclasses import replace
from typing import Any

import solver
from rules.judge.analysis import analyse_frame, in_words
from rules.judge.buckled import with_buckled_lengths
from rules.judge.closer import look_closer
from rules.judge.deciding import decide
from rules.judge.declared_judging import judge_declared
from rules.judge.framed import Frame
from rules.judge.gather import gather
from rules.judge.geometry import Geometry, geometry
from rules.judge.guards import guard
from rules.judge.judging import judge_rules, keys_of
from rules.judge.options import Options
from rules.judge.report import Checked, packs_and_receipt, report
from rules.judge.response import balance, combination_part, displacements, members, reactions
from rules.judge.settle import settle
from rules.judge.stability import buckling_part
from rules.judge.vibration import vibration_part
from rules.library import Library, choose
from rules.subject.design import Design

ALWAYS = (("ultimate", "member"), ("ultimate", "support"), ("equilibrium", "support"))
"""What envelopes and the facts of declared rules look at, whichever rules are in force."""


def check(design: Design, library: Library, *, as_of: datetime.date, options: Options = Options()) -> dict[str, Any]:  # noqa: B008 - frozen
    """The report document of one design. Raises DesignRefused, with every fault, where it cannot be checked."""
    frame = prepare(design, library, as_of)
    wanted = [*ALWAYS, *(key for rule in frame.selection.rules for key in keys_of(rule))]
    axes = in_words(design, lambda: gather(frame, wanted))
    judgements = judge_rules(frame.selection.rules, axes)
    axes, judgements = in_words(design, lambda: look_closer(frame, axes, judgements))
    judgements += judge_declared(frame.selection.declared, frame, axes)
    judgements += guard(frame, axes, judgements)
    return report(Checked(frame, axes, decide(judgements, design, as_of), as_of, options))


def analyse(design: Design, library: Library, *, as_of: datetime.date, options: Options = Options()) -> dict[str, Any]:  # noqa: B008 - frozen
    """Forces, reactions and movements of one design, case by case and in every combination; no judgement."""
    frame = prepare(design, library, as_of)
    return {
        "format": "birdsmouth-analysis-1",
        "reference": design.reference,
        "title": design.title,
        "response": {
            **balance(frame),
            "reactions": reactions(frame),
            "displacements": displacements(frame),
            "members": members(frame),
            "combinations": in_words(design, lambda: [combination_part(frame, each) for each in frame.settled.sets.values()]),
        },
        "buckling": in_words(design, lambda: buckling_part(frame)),
        "vibration": in_words(design, lambda: vibration_part(frame)),
        "questions": list(frame.settled.questions),
        **packs_and_receipt(frame, as_of, options),
    }


def prepare(design: Design, library: Library, as_of: datetime.date) -> Frame:
    """Choose the packs, settle the design, solve all characteristic cases."""
    codes = design.codes
    selection = choose(library, design.site, design.component_type, as_of, codes.packs, codes.parameters)
    if not selection.materials:  # no code in force: any grade pack tells the stiffness, and nothing is judged for strength
        selection = replace(selection, materials=library.materials())
    measured = geometry(design)
    settled = settle(design, selection, measured, triangulated=_triangulated(design, measured))
    return in_words(design, lambda: with_buckled_lengths(analyse_frame(settled, selection, measured)))


def _triangulated(design: Design, measured: Geometry) -> bool:
    """Whether the lines alone make triangles everywhere; stiffness has no part in it."""
    pieces = tuple(solver.Piece(tuple(measured.at[node] for node in member.nodes), ea=1.0, ei=1.0) for member in design.members)
    return solver.fully_triangulated(solver.Frame(measured.xy, pieces, ()))
