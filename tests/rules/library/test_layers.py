"""Whose number holds where packs lie over each other, and which pack of several."""

from __future__ import annotations

import datetime
from collections.abc import Callable

import pytest

from rules.library.choosing import Selection, choose
from rules.library.loading import library_of
from rules.library.reading import PackSource
from rules.subject.design import Parameter
from rules.subject.faults import DesignRefused
from rules.subject.site import Site

TODAY = datetime.date(2026, 11, 25)
GB = Site(country="GB", subdivision="GB-ENG")


def ids(selection: Selection) -> list[str]:
    return [each.pack.id for each in selection.packs]


@pytest.fixture
def made(folder, head) -> Callable[..., PackSource]:
    def make(id: str, values: str = "", **lines: str) -> PackSource:
        files = {"pack.yaml": head(id=id, **lines)} | ({"values.yaml": values} if values else {})
        return PackSource(folder(id, files), None, "mounted")

    return make


def gap(number: float, more: str = "") -> str:
    return f'- {{name: gap, symbol: g, unit: mm, what: gap, value: {number}, cite: {{clause: "1", seen: practice}}{more}}}\n'


class TestLayers:
    def test_base_national_region_practice_caller(self, made):
        sources = [
            made("d-practice", gap(4.0, ", overrides: a-code"), builds_on="[a-code]"),
            made("c-region", gap(3.0, ", overrides: a-code"), layer="region", builds_on="[a-code]", regions="[GB-ENG]"),
            made("b-national", gap(2.0, ", overrides: a-code"), layer="national", builds_on="[a-code]", regions="[GB]"),
            made("a-code", gap(1.0), layer="code"),
        ]
        for count, expected in ((1, 1.0), (2, 2.0), (3, 3.0), (4, 4.0)):
            assert choose(library_of(sources[-count:]), GB, "other", TODAY, None).values["gap"].number == expected
        caller = choose(library_of(sources), GB, "other", TODAY, None, [Parameter("gap", 5.0, "measured")]).values["gap"]
        assert (caller.number, caller.pack, caller.overrides, caller.overridden_because) == (5.0, "the design", "d-practice", "measured")
        assert (caller.cites.document, caller.cites.clause) == ("the design", "codes.parameters: measured")

    def test_two_packs_of_one_layer_cannot_both_replace_a_number(self, made, refused):
        sources = [made("base", gap(1.0), layer="code")]
        sources += [made(id, gap(2.0, ", overrides: base"), layer="region", builds_on="[base]") for id in ("one", "two")]
        assert refused(lambda: choose(library_of(sources), GB, "other", TODAY, None)) == [("/codes/packs", "contested-value")]
        assert choose(library_of(sources), GB, "other", TODAY, ["one"]).values["gap"].number == 2.0

    def test_the_value_of_the_day(self, made):
        dated = gap(1.0, ", ends: 2026-01-01") + gap(2.0, ", starts: 2026-01-01")
        library = library_of([made("base", dated)])
        days = (datetime.date(2025, 12, 31), datetime.date(2026, 1, 1))
        assert [choose(library, GB, "other", day, None).values["gap"].number for day in days] == [1.0, 2.0]

    def test_a_withdrawn_pack_keeps_the_numbers_of_its_own_time(self, made):
        dated = gap(1.0, ", ends: 2020-01-01") + gap(2.0, ", starts: 2020-01-01, ends: 2025-01-01")
        library = library_of([made("base", dated, starts="2010-01-01", ends="2025-01-01")])
        assert choose(library, GB, "other", TODAY, ["base==2026"]).values["gap"].number == 2.0
        assert choose(library, GB, "other", TODAY, None).values == {}

    def test_a_pack_whose_base_is_not_in_force_is_not_chosen(self, made):
        library = library_of([made("base", ends="2025-01-01"), made("over", builds_on="[base]")])
        assert ids(choose(library, GB, "other", TODAY, None)) == []

    def test_a_pack_is_not_chosen_where_its_base_does_not_hold(self, made):
        library = library_of([made("base", regions="[FR]"), made("over", builds_on="[base]")])
        assert ids(choose(library, GB, "other", TODAY, None)) == []
        assert ids(choose(library, Site(country="FR"), "other", TODAY, None)) == ["base", "over"]

    def test_the_edition_of_the_day(self, made):
        library = library_of(
            [
                made("old-code", layer="code", edition='"2004"', ends="2026-01-01"),
                made("new-code", layer="code", edition='"2023"', starts="2026-01-01"),
            ]
        )
        days = (datetime.date(2025, 12, 31), datetime.date(2026, 1, 1))
        assert [ids(choose(library, GB, "other", day, None)) for day in days] == [["old-code"], ["new-code"]]

    def test_editions_that_overlap_have_to_be_chosen_between(self, made, refused):
        editions = (made("old-code", layer="code", edition='"2004"'), made("new-code", layer="code", edition='"2023"'))
        library = library_of(editions)
        with pytest.raises(DesignRefused) as refusal:
            choose(library, GB, "other", TODAY, None)
        (fault,) = refusal.value.faults
        assert (fault.pointer, fault.code, fault.allowed) == ("/codes/packs", "overlapping-editions", ["new-code==2023", "old-code==2004"])
        assert refused(lambda: choose(library, GB, "other", TODAY, ["old-code", "new-code"])) == [("/codes/packs", "overlapping-editions")]
        assert ids(choose(library, GB, "other", TODAY, ["old-code"])) == ["old-code"]

    def test_a_supplement_of_the_same_edition_goes_with_it(self, made):
        library = library_of([made("one", layer="code"), made("more", layer="code")])
        assert set(ids(choose(library, GB, "other", TODAY, None))) == {"one", "more"}

    def test_two_traditions_are_a_fault(self, made, refused):
        library = library_of([made("one", layer="code", tradition="en"), made("two", layer="code", tradition="nds")])
        assert refused(lambda: choose(library, GB, "other", TODAY, None)) == [("/codes/packs", "two-traditions")]
        assert choose(library, GB, "other", TODAY, ["two"]).tradition == "nds"
