"""Nothing uncertain passes: rules that break, numbers that do not balance, and more than can be judged."""

from __future__ import annotations

import datetime
import json
from dataclasses import replace

import numpy as np
import pytest

import solver
from rules.judge.checking import prepare
from rules.judge.gather import gather
from rules.judge.guards import guard
from rules.judge.judging import judge_rules
from rules.library import ONE, Evidence, Kind, choose, quantity
from rules.subject.faults import DesignRefused
from service.schemas import load

TODAY = datetime.date(2026, 11, 25)


@pytest.fixture
def axes(joist, library):
    return gather(prepare(load(json.dumps(joist).encode()), library, TODAY), [("ultimate", "member")])


@pytest.fixture
def bending(library, joist):
    design = load(json.dumps(joist).encode())
    selection = choose(library, design.site, design.component_type, TODAY, None)
    return next(rule for rule in selection.rules if rule.slug == "bending")


@quantity("x", "1", says="a formula that breaks")
def breaks(m):
    raise ZeroDivisionError(m.shape)


@quantity("x", "1", says="a formula that asks for what is not there")
def asks_too_much(no_such_thing):
    return no_such_thing


@quantity("x", "1", says="a formula without a number")
def no_number(m):
    return m * float("nan")


BROKEN = [
    (breaks, "demand"),
    (breaks, "limit"),
    (breaks, "when"),
    (asks_too_much, "demand"),
    (asks_too_much, "when"),
    (no_number, "demand"),
    (no_number, "limit"),
]


def beside(axes, added):
    """Every axis with one more formula in force."""

    def more(evidence):
        return Evidence({**evidence.book, added.name: added}, evidence.values, evidence.given)

    return {key: replace(axis, evidence=more(axis.evidence)) for key, axis in axes.items()}


@pytest.mark.parametrize(("broken", "place"), BROKEN, ids=[f"{each.name} as {place}" for each, place in BROKEN])
def test_a_rule_that_cannot_run_is_open(axes, bending, broken, place):
    (judged,) = judge_rules([replace(bending, **{place: broken})], beside(axes, broken))
    assert judged.kind is Kind.OPEN
    assert judged.asks


def test_the_limit_is_exceeded_beyond_round_off_only(axes, bending):
    @quantity("x", "1", says="just over, within round-off")
    def just_over(m):
        return 0.0 * m + 1.0 + 0.9e-9

    @quantity("x", "1", says="over")
    def over(m):
        return 0.0 * m + 1.0 + 1.1e-9

    for each, kind in ((just_over, Kind.PASS), (over, Kind.FAIL)):
        (judged,) = judge_rules([replace(bending, demand=each, limit=ONE)], beside(axes, each))
        assert judged.kind is kind
        assert judged.place[0] == int(np.argmax(np.abs(axes["ultimate", "member"].evidence["m"]).any(axis=1))), (
            "ties go to the first combination"
        )


def test_numbers_that_do_not_balance_are_open(joist, library, monkeypatch):
    frame = prepare(load(json.dumps(joist).encode()), library, TODAY)
    axes = gather(frame, [("ultimate", "support")])
    assert not [each for each in guard(frame, axes, []) if each.rule.slug == "sound-numbers"]
    monkeypatch.setattr(solver.Response, "balanced", property(lambda _: False))
    monkeypatch.setattr(solver.Response, "digits", property(lambda _: 3))
    assert [each.kind for each in guard(frame, axes, []) if each.rule.slug == "sound-numbers"] == [Kind.OPEN, Kind.REVIEW]


@pytest.mark.parametrize("step", ["gather", "analysis"])
def test_more_than_can_be_judged_at_once_is_refused(joist, checked, monkeypatch, step):
    monkeypatch.setattr(f"rules.judge.{step}.MOST_CELLS", 30)
    with pytest.raises(DesignRefused) as refused:
        checked(joist)
    assert [fault.code for fault in refused.value.faults] == ["too-much-to-judge"]


def test_more_stretches_than_are_analysed_are_refused(joist, checked, monkeypatch):
    monkeypatch.setattr("rules.judge.analysis.MOST_BAYS", 0)
    with pytest.raises(DesignRefused) as refused:
        checked(joist)
    (fault,) = refused.value.faults
    assert (fault.code, fault.pointer, fault.allowed) == ("too-much-to-judge", "/members", 0)


def test_every_place_of_a_load_counts(joist, checked, monkeypatch):
    """A force in the span brings two stations, and a load that stops there one."""
    joist["actions"][0]["loads"] += [
        {"member": joist["members"][0]["id"], "point_kn": 0.1, "at_mm": 311.0 + k, "direction": "down"} for k in range(20)
    ]
    monkeypatch.setattr("rules.judge.analysis.MOST_CELLS", 70)
    with pytest.raises(DesignRefused) as refused:
        checked(joist)
    assert refused.value.faults[0].found > 70
