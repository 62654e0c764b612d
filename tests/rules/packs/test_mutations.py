"""Every shipped declared rule is pinned down by its examples: changed a little anywhere, one of them no longer holds."""

from __future__ import annotations

import pytest

from rules.library.loading import load_library
from rules.library.mutating import survivors

RULES = [(pack.id, rule.slug) for pack in load_library().packs for rule in pack.declared]


@pytest.mark.parametrize(("pack", "slug"), RULES)
def test_no_change_goes_unnoticed(shipped, pack, slug):
    rule = next(rule for rule in shipped.pack(pack).declared if rule.slug == slug)
    made, alive = survivors(rule)
    assert made >= 1
    assert [mutant.words for mutant in alive] == []
