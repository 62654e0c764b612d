"""What a size or a condition uses of its limit is no share of what timber can carry: such rules neither judge strength nor govern a piece."""

from __future__ import annotations

import pytest

from rules.library import PRACTICE

SIZES = ("least-section", "simplified-analysis")


@pytest.mark.parametrize("slug", SIZES)
def test_sizes_and_conditions_are_practice(shipped, slug):
    rules = [rule for rule in shipped.pack("eurocode-timber").rules if rule.slug == slug]
    assert rules
    assert {rule.purpose for rule in rules} == {PRACTICE}
