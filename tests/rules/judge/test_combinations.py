"""EN 1990 combinations against factors written out by hand from (6.10), (6.10a), (6.10b), (6.11) and (6.14)-(6.16)."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.library import Citation, Value
from rules.library.combining import subsets
from rules.library.pruning import useful
from rules.packs.eurocode_basis.combine import APART, MOST, MOST_LOOKED_AT, combine, combine_all
from rules.subject.actions import Action
from rules.subject.faults import TooManyCombinations
from rules.subject.settled import SettledAction

NUMBERS = {
    "gamma_g_sup": 1.35,
    "gamma_g_inf": 1.0,
    "gamma_q": 1.5,
    "gamma_g_equ_sup": 1.1,
    "gamma_g_equ_inf": 0.9,
    "xi": 0.925,
    "combination_rule": "6.10",
}
VALUES = {name: Value(name, name, "1", name, Citation("A1"), number=number) for name, number in NUMBERS.items()}

PSI = {"imposed": (0.7, 0.5, 0.3), "roof-imposed": (0.7, 0.0, 0.0), "snow": (0.5, 0.2, 0.0), "wind": (0.5, 0.2, 0.0)}
LASTS = {
    "permanent": "permanent",
    "imposed": "medium",
    "roof-imposed": "short",
    "snow": "short",
    "wind": "instantaneous",
    "accidental": "instantaneous",
}


def case(name: str, nature: str, **more) -> SettledAction:
    return SettledAction(Action(name, nature, **more), LASTS[nature], PSI.get(nature, (None, None, None)))


DEAD, FLOOR, SNOW, WIND = case("dead", "permanent"), case("floor", "imposed"), case("snow", "snow"), case("wind", "wind")


def words(actions, name="ultimate", values=VALUES, make=combine_all) -> set[str]:
    """Every combination in words; with make=combine those that can govern."""
    made = make(actions, values)[name]
    return {made.words(row) for row in range(len(made))}


def test_permanent_alone_is_always_there():
    assert words([DEAD]) == {"(6.10) 1.35 G", "(6.10) 1 G"}
    assert "(6.10) 1.35 G" in words([DEAD, FLOOR, SNOW, WIND], make=combine)


def test_what_governs_nothing_is_left_out():
    """A smaller share of another combination, one that is there under another name, and nothing at all: never under a longer load."""
    assert words([DEAD], make=combine) == {"(6.10) 1.35 G"}
    assert words([DEAD, FLOOR, SNOW], make=combine) == words([DEAD, FLOOR, SNOW]) - {"(6.10) 1 G"}
    quasi = combine([DEAD, FLOOR, SNOW, WIND], VALUES)["quasi-permanent"]
    assert [quasi.words(row) for row in range(len(quasi))] == ["(6.16b) 1 G", "(6.16b) 1 G + 0.3 floor"]
    assert quasi.durations == ("permanent", "medium"), "snow and wind that take no part shorten nothing"


def test_a_share_that_lasts_longer_stays():
    """1.0 G alone against 1.35 G with a load that has no effect on it would be the same direction under a shorter load."""
    factors = np.array([[1.35, 0.0], [1.0, 0.0], [0.0, 0.0], [2.7, 0.0]])
    ranks, apart = np.array([0, 0, 0, 4]), np.array([False, False, False, False])
    assert useful(factors, ranks, apart).tolist() == [0, 3]
    assert useful(factors[::-1], ranks[::-1], apart).tolist() == [0, 3]
    assert useful(factors[1:2], ranks[1:2], apart[1:2]).tolist() == [0]
    assert useful(factors, ranks, np.array([False, True, False, False])).tolist() == [0, 1, 3]


def test_rows_with_unknown_factors_stay_unless_they_are_the_same():
    factors = np.array([[1.35, math.nan], [1.0, math.nan], [1.35, math.nan], [math.nan, math.nan]])
    assert useful(factors, np.array([5, 5, 5, 5]), np.zeros(4, dtype=bool)).tolist() == [0, 1, 3]


@given(
    st.lists(st.tuples(st.sampled_from([0.0, 0.5, 1.0, 1.35, 1.5]), st.sampled_from([0.0, 0.75, 1.5]), st.integers(0, 4), st.booleans()), min_size=1),
    st.lists(st.floats(-10.0, 10.0), min_size=2, max_size=2),
)  # fmt: skip
def test_no_combination_that_governs_is_lost(rows, effects):
    """Whatever the effects: the worst of |E|/k over all combinations is among those kept, k rising as the load gets shorter."""
    factors = np.array([[first, second] for first, second, _, _ in rows])
    ranks, apart = np.array([rank for _, _, rank, _ in rows]), np.array([accident for *_, accident in rows])
    strength = np.array([0.6, 0.7, 0.8, 0.9, 1.1])[ranks] / np.where(apart, 1.0, 1.3)
    for share in (np.abs(factors @ effects) / strength, np.maximum(factors @ effects, 0.0) ** 2 / strength):
        kept = useful(factors, ranks, apart)
        assert share[kept].max() == pytest.approx(share.max(), rel=1e-9, abs=1e-300)


def test_only_what_is_surely_there_holds_down():
    """A covering of which 0.5 of 0.6 kN/m² is sure counts 5/6 where it holds against uplift, and whole where it weighs down."""
    roof = SettledAction(Action("roof", "permanent", least_share=5.0 / 6.0), "permanent", (None, None, None))
    made = combine([DEAD, roof, WIND], VALUES)
    equilibrium, ultimate = ({s.words(r): s.factors[r].tolist() for r in range(len(s))} for s in (made["equilibrium"], made["ultimate"]))
    assert equilibrium["(6.10 EQU) 0.9 G_min + 1.5 wind"] == pytest.approx([0.9, 0.75, 1.5])
    assert ultimate["(6.10) 1 G_min + 1.5 wind"] == pytest.approx([1.0, 5.0 / 6.0, 1.5])
    assert ultimate["(6.10) 1.35 G + 1.5 wind"] == pytest.approx([1.35, 1.35, 1.5])


def test_an_accident_keeps_the_company_it_is_given():
    """Snow drifted by an accident never lies on snow that lies already."""
    drift = case("drift", "accidental", never_with=("snow",))
    struck = [row for row in words([DEAD, FLOOR, SNOW, drift]) if "drift" in row]
    assert struck
    assert not any("snow" in row for row in struck)
    assert any("floor" in row for row in struck)


def test_every_subset_with_every_leader():
    expected = {
        f"(6.10) {g} G{variable}"
        for g in ("1.35", "1")
        for variable in ("", " + 1.5 floor", " + 1.5 snow", " + 1.5 floor + 0.75 snow", " + 1.05 floor + 1.5 snow")
    }
    assert words([DEAD, FLOOR, SNOW]) == expected


def test_what_has_one_origin_leads_as_one():
    """Wind outside and inside is one wind, snow told slope by slope one snow: no factor for what accompanies between their parts."""
    inside = case("inside", "wind", needs=("wind",))
    made = words([DEAD, SNOW, case("snow-right", "snow"), WIND, inside])
    assert {"(6.10) 1 G + 1.5 wind + 1.5 inside", "(6.10) 1.35 G + 1.5 snow + 1.5 snow-right + 0.75 wind + 0.75 inside"} <= made
    assert not any("1.5 wind + 0.75 inside" in row or "1.5 snow + 0.75 snow-right" in row for row in made)
    assert "(6.14b) 1 G + 1 snow + 1 snow-right" in words([DEAD, SNOW, case("snow-right", "snow")], "characteristic")
    assert "(6.10 EQU) 0.9 G + 1.5 wind + 1.5 inside" in words([DEAD, WIND, inside], "equilibrium")


def test_the_split_rule_takes_the_worse_of_two():
    split = VALUES | {"combination_rule": replace(VALUES["combination_rule"], number="6.10a/b")}
    made = words([DEAD, FLOOR], values=split)
    assert {"(6.10a) 1.35 G + 1.05 floor", "(6.10b) 1.249 G + 1.5 floor", "(6.10a) 1.35 G", "(6.10b) 1 G + 1.5 floor"} <= made
    assert "(6.10a) 1.35 G + 1.5 floor" not in made


def test_duration_is_the_shortest_in_the_combination():
    made = combine([DEAD, FLOOR, SNOW, WIND], VALUES)["ultimate"]
    durations = dict(zip((made.words(row) for row in range(len(made))), made.durations, strict=True))
    assert durations["(6.10) 1.35 G"] == "permanent"
    assert durations["(6.10) 1.35 G + 1.5 floor"] == "medium"
    assert durations["(6.10) 1.35 G + 1.5 floor + 0.75 snow"] == "short"
    assert durations["(6.10) 1.35 G + 1.05 floor + 0.75 snow + 1.5 wind"] == "instantaneous"


def test_groups_exclusions_and_needs():
    left, right = case("left", "wind", one_of="wind"), case("right", "wind", one_of="wind", never_with=("snow",))
    inside = case("inside", "wind", needs=("left",))
    together = {frozenset(np.flatnonzero(row)) for row in subsets([SNOW, left, right, inside], APART)}
    assert together == {frozenset(each) for each in ((), (0,), (1,), (2,), (0, 1), (1, 3), (0, 1, 3))}


def test_maintenance_never_meets_snow_or_wind():
    """EN 1991-1-1 3.3.2(1), whether or not the document says so."""
    together = [set(np.flatnonzero(row)) for row in subsets([case("man", "roof-imposed"), SNOW, WIND, FLOOR], APART)]
    assert {0, 3} in together
    assert not any(0 in each and each & {1, 2} for each in together)


def test_one_factor_for_all_permanent_load():
    """Roof and ceiling are one origin: never 1.35 on one and 1.0 on the other."""
    factors = combine([DEAD, case("ceiling", "permanent"), WIND], VALUES)["ultimate"].factors
    assert np.array_equal(factors[:, 0], factors[:, 1])


def test_equilibrium_counts_dead_load_low():
    assert "(6.10 EQU) 0.9 G + 1.5 wind" in words([DEAD, WIND], "equilibrium")


def test_an_accident_comes_without_factors():
    made = words([DEAD, FLOOR, case("blow", "accidental")])
    assert {"(6.11) 1 G + 1 blow", "(6.11) 1 G + 0.5 floor + 1 blow"} <= made


def test_serviceability_sets():
    assert "(6.14b) 1 G + 1 floor + 0.5 snow" in words([DEAD, FLOOR, SNOW], "characteristic")
    assert "(6.15b) 1 G + 0.5 floor" in words([DEAD, FLOOR, SNOW], "frequent")
    assert "(6.16b) 1 G + 0.3 floor" in words([DEAD, FLOOR, SNOW], "quasi-permanent")
    made = combine([DEAD, FLOOR], VALUES)["characteristic"]
    creeping = dict(zip((made.words(row) for row in range(len(made))), made.creep.tolist(), strict=True))
    assert creeping == {"(6.14b) 1 G": [1.0, 0.0], "(6.14b) 1 G + 1 floor": [1.0, 0.3]}


def test_a_load_that_accompanies_in_full_need_not_lead():
    """Stored goods (ψ_0 = 1): what its leading would leave to snow lies between no snow and snow leading."""
    store = SettledAction(Action("store", "imposed"), "long", (1.0, 0.9, 0.8))
    assert words([DEAD, store, SNOW]) == {
        f"(6.10) {g} G{variable}" for g in ("1.35", "1") for variable in ("", " + 1.5 store", " + 1.5 snow", " + 1.5 store + 1.5 snow")
    }


def test_an_unknown_factor_is_no_number():
    unknown = SettledAction(Action("what", "imposed"), None, (None, None, None))
    made = combine([DEAD, unknown, SNOW], VALUES)["ultimate"]
    rows = {made.words(row): made.factors[row] for row in range(len(made))}
    assert not any(math.isnan(factor) for factor in rows["(6.10) 1.35 G + 1.5 snow"])
    assert any(math.isnan(factor) for factors in rows.values() for factor in factors)
    assert None in made.durations


def test_a_declined_action_makes_no_combination():
    assert words([DEAD, case("wind", "wind", none_because="inside a hall")]) == {"(6.10) 1.35 G", "(6.10) 1 G"}


def test_too_many_are_refused_not_thinned_out():
    many = [case(f"q{i}", "imposed") for i in range(12)]
    weather = [case(f"s{i}", "snow") for i in range(2)]
    with pytest.raises(TooManyCombinations, match=str(MOST_LOOKED_AT)):
        combine([DEAD, *many, *weather], VALUES)
    with pytest.raises(TooManyCombinations, match=f"more than {MOST}"):
        combine([DEAD, *many], VALUES)
    with pytest.raises(TooManyCombinations, match="100000"):
        combine([DEAD, *(case(f"q{i}", "imposed") for i in range(40))], VALUES)
