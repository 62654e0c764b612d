"""American combinations: counted by hand, and laws of which loads may act together."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.library.combining import subsets
from rules.subject.actions import Action
from rules.subject.settled import SettledAction


@pytest.fixture(scope="module")
def made(shipped):
    """The sets a list of (id, nature, category) makes, under parameters."""

    def run(actions, **words):
        pack = shipped.pack("asce-loads")
        values = {value.name: value for value in pack.values}
        for name, word in words.items():
            values[name] = type(values[name])(**{**_fields(values[name]), "number": word})
        duration = next(value for value in shipped.pack("nds-timber").values if value.name == "duration").table
        settled = [
            SettledAction(Action(id, nature, category), duration.look_up([nature, category]), (None, None, None))
            for id, nature, category in actions
        ]
        return pack.combine(settled, values)

    return run


def _fields(value):
    return {name: getattr(value, name) for name in value.__slots__}


ROOF = [
    ("dead", "permanent", None),
    ("live", "imposed", "A"),
    ("roof", "roof-imposed", None),
    ("snow", "snow", None),
    ("wind", "wind", None),
]


def _told(combinations):
    return {combinations.words(row) for row in range(len(combinations))}


def test_allowable_stress_combinations_of_one_load_of_each_kind(made):
    assert _told(made(ROOF)["ultimate"]) == {
        "(2.4.1(1)) 1 G",
        "(2.4.1(2)) 1 G + 1 live",
        "(2.4.1(3)) 1 G + 1 roof",
        "(2.4.1(3)) 1 G + 1 snow",
        "(2.4.1(4)) 1 G + 0.75 live",
        "(2.4.1(4)) 1 G + 0.75 live + 0.75 roof",
        "(2.4.1(4)) 1 G + 0.75 live + 0.75 snow",
        "(2.4.1(5)) 1 G + 0.6 wind",
        "(2.4.1(6)) 1 G + 0.45 wind",
        "(2.4.1(6)) 1 G + 0.75 live + 0.45 wind",
        "(2.4.1(6)) 1 G + 0.75 roof + 0.45 wind",
        "(2.4.1(6)) 1 G + 0.75 snow + 0.45 wind",
        "(2.4.1(6)) 1 G + 0.75 live + 0.75 roof + 0.45 wind",
        "(2.4.1(6)) 1 G + 0.75 live + 0.75 snow + 0.45 wind",
        "(2.4.1(7)) 0.6 G + 0.6 wind",
    }


def test_factored_combinations_of_one_load_of_each_kind(made):
    told = _told(made(ROOF, design_method="LRFD")["ultimate"])
    assert {
        "(2.3.1(1)) 1.4 G",
        "(2.3.1(2)) 1.2 G + 1.6 live + 0.5 snow",
        "(2.3.1(3a)) 1.2 G + 1 live + 1.6 snow",
        "(2.3.1(3b)) 1.2 G + 1.6 snow + 0.5 wind",
        "(2.3.1(4)) 1.2 G + 1 live + 0.5 snow + 1 wind",
        "(2.3.1(5)) 0.9 G + 1 wind",
    } <= told
    assert not [each for each in told if "roof" in each and "snow" in each]


def test_snow_of_the_later_edition_has_its_own_factors(made):
    later = made(ROOF, load_edition="7-22")["ultimate"], made(ROOF, load_edition="7-22", design_method="LRFD")["ultimate"]
    assert "(2.4.1(3)) 1 G + 0.7 snow" in _told(later[0])
    assert "(2.3.1(3a)) 1.2 G + 1 live + 1 snow" in _told(later[1])
    assert "(2.3.1(2)) 1.2 G + 1.6 live + 0.3 snow" in _told(later[1])


@pytest.mark.parametrize(
    ("category", "equations"),
    [("A", {"2.3.1(2)"}), ("E", {"2.3.1(2), storage"}), (None, {"2.3.1(2), storage"}), ("impact", {"2.3.1(2), impact"})],
)
def test_a_stored_or_unknown_live_load_is_a_combination_of_its_own(made, category, equations):
    ultimate = made([("dead", "permanent", None), ("live", "imposed", category)], design_method="LRFD")["ultimate"]
    assert {each for each in ultimate.equations if each.startswith("2.3.1(2)")} == equations


def test_a_stored_load_beside_others_keeps_the_weightier_time_effect(made):
    mixed = made([("dead", "permanent", None), ("a", "imposed", "A"), ("e", "imposed", "E")], design_method="LRFD")["ultimate"]
    rows = dict(zip(map(mixed.words, range(len(mixed))), mixed.equations, strict=True))
    assert rows["(2.3.1(2)) 1.2 G + 1.6 a"] == "2.3.1(2)"
    assert rows["(2.3.1(2), storage) 1.2 G + 1.6 a + 1.6 e"] == "2.3.1(2), storage"


def test_the_shortest_load_of_each_combination_gives_its_duration(made):
    ultimate = made(ROOF)["ultimate"]
    durations = {ultimate.words(row): ultimate.durations[row] for row in range(len(ultimate))}
    assert durations["(2.4.1(1)) 1 G"] == "permanent"
    assert durations["(2.4.1(2)) 1 G + 1 live"] == "long"
    assert durations["(2.4.1(4)) 1 G + 0.75 live + 0.75 snow"] == "medium"
    assert durations["(2.4.1(3)) 1 G + 1 roof"] == "short"
    assert durations["(2.4.1(7)) 0.6 G + 0.6 wind"] == "instantaneous"


def test_sets_of_movements_hold_no_permanent_load_where_the_limit_is_for_live_load(made):
    sets = made(ROOF)
    assert not sets["variable"].factors[:, 0].any()
    assert (sets["characteristic"].factors[:, 0] == 1.0).all()
    assert sets["characteristic"].creep[:, 0].min() == 1.0
    assert not sets["variable"].creep.any()


@given(st.lists(st.sampled_from(["permanent", "imposed", "roof-imposed", "snow", "wind"]), min_size=1, max_size=6))
def test_subsets_are_all_of_those_that_may_act_together(natures):
    actions = [SettledAction(Action(f"a{i}", nature), None, (None, None, None)) for i, nature in enumerate(natures)]
    found = {tuple(row) for row in subsets(actions, (("roof-imposed", "snow"),)).tolist()}
    every = {
        row
        for row in itertools.product([False, True], repeat=len(natures))
        if not any(on and nature == "permanent" for on, nature in zip(row, natures, strict=True))
        and not {"roof-imposed", "snow"} <= {nature for on, nature in zip(row, natures, strict=True) if on}
    }
    assert found == every


def test_groups_exclusions_and_needs_hold():
    def settled(id, nature, **more):
        return SettledAction(Action(id, nature, **more), None, (None, None, None))

    left = settled("left", "wind", one_of="wind")
    right = settled("right", "wind", one_of="wind", never_with=("live",))
    inside = settled("inside", "wind", needs=("left",))
    declined = settled("none", "snow", none_because="indoors")
    found = {tuple(row) for row in subsets([left, right, inside, settled("live", "imposed"), declined]).tolist()}
    no = False
    assert found == {
        (no, no, no, no, no),
        (no, no, no, True, no),
        (True, no, no, no, no),
        (True, no, no, True, no),
        (True, no, True, no, no),
        (True, no, True, True, no),
        (no, True, no, no, no),
    }
