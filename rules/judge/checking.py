"""One design, once through: choose, settle, solve, gather, judge, report."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from typing import Any, TypeVar

import solver
from rules.judge.along import Axis
from rules.judge.analysis import analyse_frame, in_words
from rules.judge.between import Between, nothing
from rules.judge.buckled import with_buckled_lengths
from rules.judge.checked import Checked
from rules.judge.closer import look_closer
from rules.judge.deciding import decide
from rules.judge.declared_judging import judge_declared
from rules.judge.deriving import derive
from rules.judge.framed import Frame
from rules.judge.gather import gather
from rules.judge.geometry import Geometry, geometry
from rules.judge.guards import guard
from rules.judge.judgement import Judgement
from rules.judge.judging import judge_rules
from rules.judge.methods import SECOND_ORDER, method
from rules.judge.options import Options
from rules.judge.report import packs_and_receipt, report
from rules.judge.response import balance, combination_part, displacements, members, reactions
from rules.judge.retelling import Told, is_plain, tell, tell_again
from rules.judge.settle import settle
from rules.judge.stability import buckling_part
from rules.judge.vibration import vibration_part
from rules.library import Library, Selection, choose
from rules.shapes import expand, told_of_the_shape, written_by_shape
from rules.subject.design import Design
from rules.subject.faults import DesignRefused

T = TypeVar("T")

ALWAYS = (("ultimate", "member"), ("ultimate", "support"), ("equilibrium", "support"))
"""What envelopes and the facts of declared rules look at, whichever rules are in force."""


@dataclass(frozen=True)
class Judged:
    """A design judged, before anything is accepted or told. told: reports of it that can be told again, by what was asked for."""

    frame: Frame
    axes: Mapping[tuple[str, str], Axis]
    judgements: Sequence[Judgement]
    told: dict[Options, Told] = field(default_factory=dict, compare=False)


Known = dict[tuple[str, str, datetime.date], Judged]
"""What was judged before, by subject, rules asked for and day: the caller's, to be handed in again."""
KEPT = 32
"""How many of these are kept; a house has about a dozen frames that differ, and each holds its arrays."""


def check(
    design: Design, library: Library, *, as_of: datetime.date, options: Options = Options(), known: Known | None = None,  # noqa: B008 - frozen
    between: Between = nothing,
) -> Mapping[str, Any]:  # fmt: skip
    """The report document of one design. Raises DesignRefused, with every fault, where it cannot be checked.

    known: frames that are alike but for what they are called are judged once; the report is the same, byte for byte. between: called
    between steps; what it raises ends the check, and nothing of it is kept.
    """
    design = expand(design)
    if known is None or not design.subject_digest:
        return report(_checked(judge(design, library, as_of, between), as_of, options))
    key = (design.subject_digest, repr(design.codes), as_of)
    if key not in known:
        known[key] = judge(design, library, as_of, between)
        if len(known) > KEPT:
            del known[next(iter(known))]
    return _told(known[key], design, as_of, options)


def _checked(judged: Judged, as_of: datetime.date, options: Options) -> Checked:
    design = judged.frame.settled.design
    return Checked(judged.frame, judged.axes, decide(judged.judgements, design, as_of), as_of, options)


def _told(judged: Judged, design: Design, as_of: datetime.date, options: Options) -> Mapping[str, Any]:
    """The report of a design of this subject; told again where there is one already that differs in names alone."""
    if not is_plain(design):
        return report(_checked(_called(judged, design), as_of, options))
    if options not in judged.told:
        judged.told[options] = tell(_checked(_called(judged, design), as_of, options))
    return tell_again(judged.told[options], design)


def judge(design: Design, library: Library, as_of: datetime.date, between: Between = nothing) -> Judged:
    """Every judgement of one design, and what they were made from."""
    frame = prepare(design, library, as_of)
    between()
    wanted = [*ALWAYS, *(key for rule in frame.selection.rules for key in rule.keys)]
    axes = in_words(design, lambda: gather(frame, wanted))
    judgements = judge_rules(frame.selection.rules, axes, between)
    axes, judgements = in_words(design, lambda: look_closer(frame, axes, judgements))
    judgements += judge_declared(frame.selection.declared, frame, axes)
    between()
    judgements += guard(frame, axes, judgements)
    between()
    return Judged(frame, axes, judgements)


def _called(judged: Judged, design: Design) -> Judged:
    """The same for a design of the same subject that is called otherwise, and of which other things are accepted or known."""
    names = {name: getattr(design, name) for name in ("reference", "title", "digest", "waivers", "baseline")}
    settled = replace(judged.frame.settled, design=replace(judged.frame.settled.design, **names))
    named = [each._replace(element_id=design.reference) if each.element_kind == "design" else each for each in judged.judgements]
    return Judged(replace(judged.frame, settled=settled), judged.axes, named)


def analyse(
    design: Design, library: Library, *, as_of: datetime.date, options: Options = Options(), between: Between = nothing,  # noqa: B008 - frozen
) -> dict[str, Any]:  # fmt: skip
    """Forces, reactions and movements of one design, case by case and in every combination; no judgement. between: as in check."""
    design = expand(design)
    frame = prepare(design, library, as_of)

    def step(part: Callable[[], T]) -> T:
        between()
        return in_words(design, part)

    return {
        "format": "birdsmouth-analysis-1",
        "reference": design.reference,
        "title": design.title,
        "response": {
            **balance(frame),
            "reactions": reactions(frame),
            "displacements": displacements(frame),
            "members": members(frame),
            "combinations": [step(partial(combination_part, frame, each)) for each in frame.settled.sets.values()],
        },
        "buckling": step(partial(buckling_part, frame)),
        "vibration": step(partial(vibration_part, frame)),
        "questions": list(frame.settled.questions),
        **packs_and_receipt(frame, as_of, options),
    }


def written_out(design: Design, library: Library, *, as_of: datetime.date) -> Design:
    """The design with its shape drawn and every load case that the packs in force derive among its actions."""
    drawn = expand(design)
    return derive(drawn, _chosen(drawn, library, as_of))[0]


def _chosen(design: Design, library: Library, as_of: datetime.date) -> Selection:
    codes = design.codes
    return choose(library, design.site, design.component_type, as_of, codes.packs, codes.parameters)


def prepare(design: Design, library: Library, as_of: datetime.date) -> Frame:
    """Choose the packs, derive loads, settle the design, solve all characteristic cases."""
    selection = _chosen(design, library, as_of)
    if not selection.materials:  # no code in force: any grade pack tells the stiffness, and nothing is judged for strength
        selection = replace(selection, materials=library.materials())
    measured = geometry(design)
    loaded, derived = derive(design, selection)
    try:
        settled = settle(loaded, selection, measured, triangulated=_triangulated(design, measured))
        taken = (*written_by_shape(design), *derived.assumptions)
        settled = replace(settled, assumptions=(*settled.assumptions, *taken))
        frame = in_words(design, lambda: analyse_frame(settled, selection, measured))
        if method(selection) != SECOND_ORDER:
            frame = in_words(design, lambda: with_buckled_lengths(frame))
        return replace(frame, derived=derived)
    except DesignRefused as refused:
        raise replace(refused, faults=tuple(told_of_the_shape(fault, design) for fault in refused.faults)) from refused


def _triangulated(design: Design, measured: Geometry) -> bool:
    """Whether the lines alone make triangles everywhere; stiffness has no part in it."""
    pieces = tuple(solver.Piece(tuple(measured.at[node] for node in member.nodes), ea=1.0, ei=1.0) for member in design.members)
    return solver.fully_triangulated(solver.Frame(measured.xy, pieces, ()))
