"""A closer look at pieces that pass narrowly: between stations a bending moment can peak a little above what stations see.

With eleven stations a bay the peak is missed by at most one hundredth of q L²/8 of the bay; with FINE ones by a sixteenth of that.
So every member rule that passes above NEAR is judged again there, in the combinations that come near, and the worse word stands.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from rules.judge.along import Axis
from rules.judge.analysis import analyse_frame
from rules.judge.framed import Frame
from rules.judge.gather import Key, gather
from rules.judge.judgement import AnyRule, Judgement
from rules.judge.judging import judge_along
from rules.judge.sweeping import Swept, sweep
from rules.judge.ties import floor
from rules.library.rule import Kind, Rule, Scope

NEAR = 0.95
FINE = 41
MOST_ROWS = 48
"""Combinations looked at again, those that come nearest."""

PLAIN: Key = ("ultimate", "member")
CLOSELY: Key = ("ultimate, looked at closely", "member")


def look_closer(frame: Frame, axes: dict[Key, Axis], judgements: Sequence[Judgement]) -> tuple[dict[Key, Axis], list[Judgement]]:
    """The judgements with narrow passes judged again between the stations, and the evidence that goes with them."""
    passes = [each for each in judgements if each.kind is Kind.PASS and each.utilisation is not None and each.utilisation > NEAR]
    narrow = [each for each in passes if each.axis == PLAIN and isinstance(each.rule, Rule) and each.rule.scope is Scope.MEMBER]
    if not narrow:
        return axes, list(judgements)
    rows = _nearest(axes[PLAIN], narrow)
    settled = replace(frame.settled, sets={"ultimate": frame.settled.sets["ultimate"].only(rows)})
    fine = gather(analyse_frame(settled, frame.selection, frame.geometry, stations=FINE), [PLAIN])[PLAIN]
    again = dict(zip(map(id, narrow), _again(narrow, fine), strict=True))
    return axes | {CLOSELY: fine}, [again.get(id(each), each) for each in judgements]


def _nearest(axis: Axis, narrow: Sequence[Judgement]) -> list[int]:
    """Base combinations in which a narrow pass comes near, the nearest first, at most MOST_ROWS."""
    best, rules = np.zeros(len(axis.base)), _rules(narrow)
    swept: dict[AnyRule, Swept] = dict(zip(rules, sweep(rules, axis), strict=True))
    for each in narrow:
        decided = swept[each.rule].decided
        if decided is not None:
            np.maximum.at(best, axis.arranged.rows, decided[:, each.element_index])
    order = np.argsort(-np.round(best, 9), kind="stable")[:MOST_ROWS]
    return sorted(order[best[order] > NEAR].tolist())


def _rules(narrow: Sequence[Judgement]) -> list[Rule]:
    return list(dict.fromkeys(each.rule for each in narrow if isinstance(each.rule, Rule)))


def _again(narrow: Sequence[Judgement], fine: Axis) -> Iterator[Judgement]:
    rules = _rules(narrow)
    judged: dict[AnyRule, list[Judgement]] = dict(zip(rules, judge_along(rules, fine, CLOSELY), strict=True))
    for each in narrow:
        again = judged[each.rule][each.element_index]
        better = again.kind is Kind.PASS and floor(again.utilisation or 0.0) <= (each.utilisation or 0.0)
        yield each if better else again
