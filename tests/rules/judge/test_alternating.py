"""EN 1995-1-1 8.1.5: a force that pulls and pushes a joint by turns under loads that last counts with half of the other. By hand, own."""

import datetime
import json

import numpy as np
import plating
import pytest

from rules.judge.alternating import with_other_way
from rules.judge.checking import prepare
from rules.judge.gather import gather
from rules.library.citation import clause
from rules.library.value import Table, Value
from rules.subject.settled import CombinationSet
from service.schemas import load

HALF = Value("alternating_share", "1/2", "1", "share", clause("8.1.5"), table=Table(("duration",), ((("medium",), 0.5), (("long",), 0.5))))


def combined(*durations):
    none = np.zeros((len(durations), 0))
    return CombinationSet("ultimate", (), (), ("6.10",) * len(durations), none, none > 0, durations, none.any(axis=1))


def test_each_grows_by_half_of_the_greatest_the_other_way():
    """Pull 10 and 6, push 4, all medium or long, push 8 for a short time: 12, 8 and 9; what is short neither grows nor counts."""
    effects = {"p_x": np.array([[10.0], [6.0], [-4.0], [-8.0]]), "p_y": np.zeros((4, 1))}
    base = combined("medium", "long", "medium", "short")
    assert with_other_way(HALF, base, np.arange(4), effects)["p_x"].ravel().tolist() == [12.0, 8.0, -9.0, -8.0]


def test_it_grows_in_its_own_direction():
    """A force of 5 at 3 to 4 and one of 10 straight against it; a third at right angles, which none opposes."""
    effects = {"q_x": np.array([[3.0], [-6.0], [4.0]]), "q_y": np.array([[4.0], [-8.0], [-3.0]])}
    grown = with_other_way(HALF, combined(*["long"] * 3), np.arange(3), effects)
    assert np.allclose(np.hstack([grown["q_x"], grown["q_y"]]), [[6.0, 8.0], [-7.5, -10.0], [4.0, -3.0]])


def test_a_code_that_does_not_ask_for_it_changes_nothing():
    effects = {"p_x": np.array([[10.0], [-4.0]]), "p_y": np.zeros((2, 1))}
    assert with_other_way(None, combined("long", "long"), np.arange(2), effects) is effects


@pytest.mark.parametrize(("duration", "most"), [("medium", 30.0), ("short", 24.0)])
def test_a_splice_that_is_pulled_and_pushed_by_turns(library, duration, most):
    """Pull 1.5 x 16 = 24 kN, push 1.5 x 8 = 12 kN, never together: 24 + 12 / 2 = 30 kN, and 24 where either is short."""
    tie = plating.pulled_tie(16.0)
    push = {"id": "push", "nature": "imposed", "category": "A", "loads": [{"node": "B", "x_kn": -8.0, "y_kn": 0.0}]}
    tie["actions"] = [each | {"one_of": "way", "duration": duration} for each in (*tie["actions"], push)]
    frame = prepare(load(json.dumps(tie).encode()), library, datetime.date(2026, 11, 25))
    for axis, name in (("joint", "p_x"), ("joint-line", "q_x")):
        force = gather(frame, [("ultimate", axis)])["ultimate", axis].evidence[name]
        assert np.abs(force).max() == pytest.approx(most * 1000.0)


def test_the_working_says_so(checked):
    """The force in the working names the share and cites its clause; so an engineer sees why it is more than the analysis gives."""
    steps = [
        step
        for each in checked(plating.pulled_tie(16.0))["findings"]
        if each["rule"] == "eurocode-timber/plate-steel"
        for step in each["working"]
    ]
    forces = [step for step in steps if step["symbol"] == "Q_x"]
    assert forces
    assert all(step["number"] == "alternating_share" and "the other way" in str(step) for step in forces)
