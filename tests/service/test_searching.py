"""The search of sizings by itself, on invented rules of what passes."""

from __future__ import annotations

from itertools import product

import pytest

from service.sizings.choices import Choice, Group, Make, Range
from service.sizings.searching import Search, Tried


def spread(*counts: int) -> Range:
    groups = tuple(
        Group(str(index), None, (f"M{index}",), tuple(Make({}, None, float((pick + 1) * (index + 2))) for pick in range(count)))
        for index, count in enumerate(counts)
    )
    return Range(groups, (None,), 0.0)


def searched(choices: Range, needed: tuple[int, ...], left: int) -> Search:
    def check(choice: Choice) -> Tried:
        short = [index for index, pick in enumerate(choice.picks) if pick < needed[index]]
        return Tried(choice, not short, frozenset(f"M{index}" for index in short), (float(len(short)),), {})

    search = Search(choices, check, left)
    search.run()
    return search


@pytest.mark.parametrize("needed", list(product(range(4), range(3), range(2))))
def test_with_checks_enough_the_cheapest_is_found_and_proven(needed):
    search = searched(spread(4, 3, 2), needed, 100)
    assert search.best is not None
    assert search.best.choice.picks == needed
    assert search.unchecked() == 0


@pytest.mark.parametrize("left", range(1, 30))
def test_no_more_is_checked_than_may_be_and_nothing_is_called_proven_in_vain(left):
    search = searched(spread(4, 3, 2), (3, 1, 1), left)
    assert len(search.tried) <= left
    cheaper = [choice for choice in spread(4, 3, 2).cheapest_first() if search.best is None or choice.cost < search.best.choice.cost]
    assert (search.unchecked() == 0) == all(choice.key in search.tried for choice in cheaper)


def test_where_thicker_is_worse_the_cheapest_is_found_all_the_same():
    """Only the thinnest passes in the first group and only the thickest in the second: no order of sizes helps."""
    choices = spread(3, 3)

    def check(choice: Choice) -> Tried:
        return Tried(choice, choice.picks == (0, 2), frozenset(("M0", "M1")), (1.0,), {})

    search = Search(choices, check, 50)
    search.run()
    assert search.best is not None
    assert search.best.choice.picks == (0, 2)
