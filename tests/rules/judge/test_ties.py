"""What is equal within round-off counts as equal: the first combination, place and standing of a load speak, whatever the last digits are."""

from __future__ import annotations

import datetime
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from rules.judge import Options, check, gather
from rules.judge.arranging import arrange, both_signs
from rules.judge.standing import Alternatives, Place
from rules.judge.sweeping import NEVER, furthest
from rules.judge.ties import TIE
from service.schemas import load

TODAY = datetime.date(2026, 11, 25)
DEMO = Path(__file__).parents[3] / "service" / "demo" / "designs"
EFFECTS = ("forces", "bearing", "movements")


def shaken(effects_of, seed):
    """The same effects with other last digits: of each number, and of nought beside the largest."""
    chance = np.random.default_rng(seed)

    def shake(each):
        near = 1e-15 * np.abs(each).max(initial=0.0)
        return each * (1.0 + 1e-14 * chance.uniform(-1, 1, each.shape)) + near * chance.uniform(-1, 1, each.shape)

    return lambda *asked, **more: {name: shake(each) for name, each in effects_of(*asked, **more).items()}


def told(document):
    """Of every finding what it says and of where; numbers without their last digits."""
    parts = ("rule", "kind", "part", "where", "combination")
    return [(*(str(each[part]) for part in parts), _near(each["utilisation"])) for each in document["findings"]]


def _near(number):
    return None if number is None else float(f"{number:.7g}")


@pytest.mark.parametrize("name", ["fink.json", "solid-joist.json"])
def test_the_last_digit_does_not_say_what_governs(name, library, monkeypatch):
    design = load((DEMO / name).read_bytes())
    plain = told(check(design, library, as_of=TODAY, options=Options(include="all")))
    for seed in (1, 2):
        with monkeypatch.context() as patch:
            for effect in EFFECTS:
                patch.setattr(gather, effect, shaken(getattr(gather, effect), seed))
            assert told(check(design, library, as_of=TODAY, options=Options(include="all"))) == plain


RATIOS = st.sampled_from(
    [-np.inf, -1e300, -2.0, 0.0, 1e-10, 0.5, 0.5 + 4e-10, 1.0, 1.0 + 9e-10, 1.0 + 2e-9, 7.0, 1e12, 1e12 + 500.0, np.inf]
)


@settings(max_examples=200, deadline=None)
@given(arrays(np.float64, st.tuples(st.integers(1, 3), st.integers(1, 5), st.integers(1, 4)), elements=RATIOS))
def test_all_together_find_what_each_finds_by_itself(values):
    for swept, far in zip(values, furthest(list(values)), strict=True):
        for element, column in enumerate(swept.T):
            most = max(column)
            assert far.goes[element] == (most != NEVER)
            near = [each >= most - (TIE * max(1.0, abs(most)) if np.isfinite(most) else 0.0) for each in column]
            assert far.rows[element] == near.index(True)


def standing(exclusive, *drives):
    """Which of three standings act at two places, by their drives there."""
    where = tuple(Place("M", x, x) for x in (0.0, 1.0, 2.0))
    arranged = arrange(np.ones((1, 1)), [(Alternatives(0, exclusive, slice(0, 3), where), {"n": np.array(drives)})], both_signs)
    return arranged.groups[0].on["n"][0].tolist()


@pytest.mark.parametrize("last", [-1e-13, 0.0, 1e-13])
def test_the_first_of_equal_standings_acts(last):
    assert standing(True, [1.0, 5.0], [1.0 + last, 5.0], [0.5, 5.0 + last]) == [[True, True], [False, False], [False, False]]


@pytest.mark.parametrize("last", [-1e-13, 0.0, 1e-13])
def test_what_is_nought_but_for_round_off_does_not_act(last):
    assert standing(False, [1.0, last], [last, 5.0], [-1.0, 2.0]) == [[True, False], [False, True], [False, True]]


def test_a_real_difference_chooses():
    assert standing(True, [1.0, 5.0], [1.0 + 1e-6, 5.0], [0.5, 5.0 + 1e-6]) == [[False, False], [True, False], [False, True]]
