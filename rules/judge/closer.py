"""A closer look at pieces that pass narrowly: between stations a bending moment can peak a little above what stations see.

With eleven stations a bay the peak is missed by at most one hundredth of q L²/8 of the bay; with FINE ones by a sixteenth of that.
So every member rule that passes above NEAR is judged again there, in the combinations that come near, and the worse word stands.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np

from rules.judge.analysis import analyse_frame
from rules.judge.framed import Frame
from rules.judge.gather import Axis, Key, gather
from rules.judge.judgement import Judgement
from rules.judge.judging import judge_element, ratios
from rules.library.rule import Kind, Rule, Scope

NEAR = 0.95
FINE = 41
MOST_ROWS = 48
"""Combinations looked at again, those that come nearest."""

PLAIN: Key = ("ultimate", "member")
CLOSELY: Key = ("ultimate, looked at closely", "member")


def look_closer(frame: Frame, axes: dict[Key, Axis], judgements: Sequence[Judgement]) -> tuple[dict[Key, Axis], list[Judgement]]:
    """The judgements with narrow passes judged again between the stations, and the evidence that goes with them."""
    narrow = [each for each in judgements if _narrow(each)]
    if not narrow:
        return axes, list(judgements)
    rows = _nearest(axes[PLAIN], narrow)
    settled = replace(frame.settled, sets={"ultimate": frame.settled.sets["ultimate"].only(rows)})
    fine = gather(analyse_frame(settled, frame.selection, frame.geometry, stations=FINE), [PLAIN])[PLAIN]
    again = {id(each): _worse(each, fine) for each in narrow}
    return axes | {CLOSELY: fine}, [again.get(id(each), each) for each in judgements]


def _narrow(judgement: Judgement) -> bool:
    rule = judgement.rule
    member_rule = isinstance(rule, Rule) and rule.scope is Scope.MEMBER and judgement.axis == PLAIN
    return member_rule and judgement.kind is Kind.PASS and judgement.utilisation is not None and judgement.utilisation > NEAR


def _nearest(axis: Axis, narrow: Iterable[Judgement]) -> list[int]:
    """Base combinations in which a narrow pass comes near, the nearest first, at most MOST_ROWS."""
    best = np.zeros(len(axis.base))
    for each in narrow:
        assert isinstance(each.rule, Rule)
        reached = ratios(each.rule, axis)[:, axis.slices[each.element_index]].max(axis=1)
        np.maximum.at(best, axis.arranged.rows, reached)
    order = np.argsort(-best, kind="stable")[:MOST_ROWS]
    return sorted(order[best[order] > NEAR].tolist())


def _worse(judgement: Judgement, fine: Axis) -> Judgement:
    assert isinstance(judgement.rule, Rule)
    again = judge_element(judgement.rule, fine, CLOSELY, judgement.element_index)
    if again.kind is Kind.PASS and (again.utilisation or 0.0) <= (judgement.utilisation or 0.0):
        return judgement
    return again
