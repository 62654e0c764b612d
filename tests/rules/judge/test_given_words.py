"""What the judge gives is called the same in the catalogue, which has no design before it, as in every check."""

from __future__ import annotations

import json

import pytest

from rules.library import Evidence
from rules.library.catalogue import rule_page
from rules.library.given_words import GIVEN
from service.demo import read_design


@pytest.fixture
def given(monkeypatch: pytest.MonkeyPatch) -> dict[str, set[tuple[str, str, str]]]:
    """Name, and every (symbol, unit, words) it was given with since."""
    met: dict[str, set[tuple[str, str, str]]] = {}
    made = Evidence.__init__

    def noting(self, *args, **kwargs):
        made(self, *args, **kwargs)
        for each in self.given.values():
            for words in [each.what] if isinstance(each.what, str) else each.what.words:
                met.setdefault(each.name, set()).add((each.symbol, each.unit, words))

    monkeypatch.setattr(Evidence, "__init__", noting)
    return met


@pytest.mark.parametrize("name", ["plated-fink", "solid-joist"])
def test_a_check_gives_what_the_catalogue_says(checked, given, name):
    checked(json.loads(read_design(name)))
    assert len(given.keys() & GIVEN.keys()) > 100
    for each in given.keys() & GIVEN.keys():
        word = GIVEN[each]
        for symbol, unit, words in given[each]:
            assert (symbol, unit) == (word.symbol, word.unit), each
            assert words in word.what.split("; or "), each


def test_the_catalogue_says_what_every_rule_takes_from_a_design(library):
    rules = [rule for pack in library.packs for rule in pack.rules]
    pages = [rule_page(library, *rule.id.split("/")) for rule in rules]
    taken = {fact["name"]: fact["what"] for page in pages for judgement in page["judgements"] for fact in judgement["from_the_design"]}
    assert len(taken) > 200
    assert [name for name, what in taken.items() if not what] == []
    assert set(GIVEN) <= set(taken), "a word that no rule takes"
