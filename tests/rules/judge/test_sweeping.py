"""Combinations are judged a part at a time: how large the parts are must not show."""

from __future__ import annotations

import datetime
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from rules.judge import Options, along, check
from rules.judge.checking import prepare
from rules.judge.gather import gather
from rules.judge.judging import judge_rules
from rules.library import Evidence, quantity
from rules.library.quantity import ONE
from rules.library.rule import Kind
from service.schemas import load

TODAY = datetime.date(2026, 11, 25)
DEMO = Path(__file__).parents[3] / "service" / "demo" / "designs"
DESIGNS = sorted(path.name for path in DEMO.glob("*.json"))
WHOLE, TINY = 10**9, 700


def report(name, library, monkeypatch, cells):
    monkeypatch.setattr(along, "CELLS", cells)
    return check(load((DEMO / name).read_bytes()), library, as_of=TODAY, options=Options(include="all", working="all"))


def plain(value):
    """Without the last digits, which may differ with the length of an array."""
    if isinstance(value, dict):
        return {key: plain(each) for key, each in value.items()}
    if isinstance(value, list):
        return [plain(each) for each in value]
    return float(f"{value:.9g}") if isinstance(value, float) else value


@pytest.mark.parametrize("name", DESIGNS)
def test_the_size_of_the_parts_does_not_show(name, library, monkeypatch):
    assert plain(report(name, library, monkeypatch, TINY)) == plain(report(name, library, monkeypatch, WHOLE))


@pytest.fixture
def fink(library):
    frame = prepare(load((DEMO / "fink.json").read_bytes()), library, TODAY)
    return frame, gather(frame, [("ultimate", "member")])


def test_parts_hold_every_combination_once_and_are_alike(fink, monkeypatch):
    axis = fink[1]["ultimate", "member"]
    monkeypatch.setattr(along, "CELLS", TINY)
    parts = list(axis.parts())
    assert sorted(np.concatenate([rows for rows, _ in parts]).tolist()) == list(range(axis.shape[0]))
    assert all(len(evidence["k_mod"]) == 1 for _, evidence in parts), "one duration a part"
    rows, evidence = parts[len(parts) // 2]
    assert np.array_equal(evidence["sigma_my"], axis.evidence["sigma_my"][rows])


def beside(axes, *added):
    """The member axis with further formulas in force."""
    axis = axes["ultimate", "member"]
    evidence = Evidence({**axis.evidence.book, **{each.name: each for each in added}}, axis.evidence.values, axis.evidence.given)
    return axes | {("ultimate", "member"): replace(axis, evidence=evidence)}


def test_a_demand_without_bounds_fails(fink):
    @quantity("x", "1", says="nothing can carry this")
    def boundless(m):
        return np.where(np.abs(m) > 0.0, np.inf, 0.0)

    frame, axes = fink
    bending = next(rule for rule in frame.selection.rules if rule.slug == "bending")
    judged = judge_rules([replace(bending, demand=boundless, limit=ONE)], beside(axes, boundless))
    assert {each.kind for each in judged} <= {Kind.FAIL, Kind.NOT_APPLICABLE}
    assert any(each.kind is Kind.FAIL for each in judged)


def test_a_rule_without_its_source_is_open_even_where_it_applies_nowhere(fink):
    @quantity("x", "1", says="asks for what nobody has")
    def orphan(nobodys_number):
        return nobodys_number

    @quantity("never", "", says="never")
    def never(m):
        return np.zeros_like(m, dtype=bool)

    frame, axes = fink
    bending = next(rule for rule in frame.selection.rules if rule.slug == "bending")
    judged = judge_rules([replace(bending, demand=orphan, when=never)], beside(axes, orphan, never))
    assert {each.kind for each in judged} == {Kind.OPEN}
    assert "nobodys_number" in judged[0].asks[0]
