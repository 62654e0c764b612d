"""Which packs speak on a design, with which numbers, and what is said of the choice."""

from __future__ import annotations

import datetime
from collections.abc import Callable

import pytest

from rules.library.choosing import Selection, choose, why_here
from rules.library.layering import NEAREST, wrong_parameter
from rules.library.loading import Library, load_library
from rules.subject.design import Parameter
from rules.subject.faults import DesignRefused
from rules.subject.site import Site

TODAY = datetime.date(2026, 11, 25)
EN = ["eurocode-basis", "eurocode-timber", "grades-en"]
GB = Site(country="GB", subdivision="GB-ENG")


@pytest.fixture(scope="module")
def shipped() -> Library:
    return load_library()


@pytest.fixture(scope="module")
def chosen(shipped) -> Callable[..., Selection]:
    def run(site=GB, component_type="trussed-rafter", as_of=TODAY, asked=None, parameters=()):
        return choose(shipped, site, component_type, as_of, asked, parameters)

    return run


REGIONS = ("eurocode-nordic-snow", "england-house-longhorn")
"""Regional packs looked at here; those of treatment have tests of their own."""
TRADITIONS = {"eurocode-timber": "en", "nds-timber": "us", "canada-timber": "ca", "australia-timber": "au"}


def ids(selection: Selection) -> list[str]:
    return [each.pack.id for each in selection.packs]


@pytest.mark.parametrize(
    ("site", "component_type", "expected"),
    [
        (GB, "trussed-rafter", [*EN, "uk-national", "england-house-longhorn", "uk-practice", "workshop-practice"]),
        (GB, "solid-joist", [*EN, "uk-national", "uk-practice", "workshop-practice"]),
        (Site(country="GB"), "cut-roof", [*EN, "uk-national", "england-house-longhorn", "uk-practice", "workshop-practice"]),
        (
            Site(country="GB", subdivision="GB-SRY"),
            "cut-roof",
            [*EN, "uk-national", "england-house-longhorn", "uk-practice", "workshop-practice"],
        ),
        (Site(country="GB", subdivision="GB-SCT"), "cut-roof", [*EN, "uk-national", "uk-practice", "workshop-practice"]),
        (Site(country="DE"), "trussed-rafter", [*EN, "workshop-practice"]),
        (Site(country="SE"), "trussed-rafter", [*EN, "eurocode-nordic-snow", "workshop-practice"]),
        (Site(country="US"), "trussed-rafter", ["asce-loads", "nds-timber", "grades-nds", "us-irc", "frame-practice", "workshop-practice"]),
        (Site(country="CA"), "trussed-rafter", ["canada-timber", "grades-ca", "frame-practice", "workshop-practice"]),
        (Site(country="AU"), "cut-roof", ["australia-timber", "grades-au", "frame-practice", "workshop-practice"]),
        (Site(country="JP"), "trussed-rafter", ["workshop-practice"]),
        (Site(), "trussed-rafter", ["workshop-practice"]),
    ],
)
def test_chosen_by_site_and_component(chosen, site, component_type, expected):
    selection = chosen(site, component_type)
    named = [each.pack.id for each in selection.packs if each.pack.layer != "region" or each.pack.id in REGIONS]
    assert named == expected
    assert selection.tradition == next((tradition for pack, tradition in TRADITIONS.items() if pack in expected), None)


def test_each_pack_says_why(chosen):
    why = {each.pack.id: each.because for each in chosen().packs}
    assert why["uk-national"] == "site in GB, as of 2026-11-25"
    assert why["england-house-longhorn"] == "site in GB-ENG, as of 2026-11-25"
    assert why["grades-en"] == "eurocode-timber builds on it"
    assert why["workshop-practice"] == "it holds everywhere, as of 2026-11-25"
    unstated = {each.pack.id: each.because for each in chosen(Site(country="GB")).packs}
    assert unstated["england-house-longhorn"] == "site in GB, subdivision not stated: GB-ENG may hold, as of 2026-11-25"


@pytest.mark.parametrize(
    ("site", "said"),
    [
        (Site(), "No country is stated"),
        (Site(country="JP"), "No code of practice held here is in force in JP"),
        (Site(country="DE"), "Recommended values are used without the national choices of DE"),
    ],
)
def test_what_a_site_leaves_open_is_said(chosen, site, said):
    notes = chosen(site).notes
    assert len(notes) == 1
    assert notes[0].startswith(said)


def test_nothing_is_said_where_all_is_held(chosen):
    assert chosen().notes == ()


def test_the_united_kingdom_speaks_over_the_recommended_values(chosen):
    britain, germany = chosen().values, chosen(Site(country="DE")).values
    assert (britain["xi"].number, germany["xi"].number) == (0.925, 0.85)
    assert (britain["xi"].pack, britain["xi"].overrides) == ("uk-national", "eurocode-basis")
    wind = [each["psi_0"].table.look_up(["wind", None, 50.0]) for each in (britain, germany)]
    assert wind == [0.5, 0.6]
    assert britain["gamma_m"].table.look_up(["solid-timber", "package"]) == 2.0
    assert britain["gamma_m"].table.look_up(["solid-timber", None]) is None
    assert germany["gamma_m"].table.look_up(["solid-timber", None]) == 1.3


def test_the_north_has_its_own_snow(chosen):
    factors = [chosen(Site(country=country)).values["psi_2"].table.look_up(["snow", None, 100.0]) for country in ("NO", "DE")]
    assert factors == [0.2, 0.0]


class TestAsked:
    def test_exactly_those_and_what_they_build_on(self, chosen):
        selection = chosen(asked=["eurocode-timber"])
        assert ids(selection) == EN
        assert selection.packs[1].because == "asked for as eurocode-timber"
        assert selection.notes == (
            "Recommended values are used without the national choices of GB: uk-national was not asked for or is not in force.",
        )

    def test_pinned(self, chosen):
        assert ids(chosen(asked=["eurocode-timber==2004+A2:2014"])) == EN
        assert ids(chosen(asked=["eurocode-timber==2004+A2:2014@1.1.0"])) == EN

    @pytest.mark.parametrize(
        ("asked", "faults"),
        [
            (["eurocode-timber==2025"], [("/codes/packs/0", "pack-not-held")]),
            (["eurocode-timber==2004+A2:2014@9.0.0"], [("/codes/packs/0", "pack-not-held")]),
            (["grades-en", "nobody"], [("/codes/packs/1", "unknown-pack")]),
            (["nobody", "eurocode-timber==1"], [("/codes/packs/0", "unknown-pack"), ("/codes/packs/1", "pack-not-held")]),
            (["=="], [("/codes/packs/0", "unreadable-pin")]),
            (["eurocode-timber@1.0.0"], [("/codes/packs/0", "unreadable-pin")]),
            (["eurocode-timber", "eurocode-timber==2004+A2:2014"], [("/codes/packs/1", "duplicate-pack")]),
        ],
    )
    def test_what_cannot_be_had(self, chosen, asked, faults, refused):
        assert refused(lambda: chosen(asked=asked)) == faults

    def test_a_pin_not_held_names_what_is(self, chosen):
        with pytest.raises(DesignRefused) as refusal:
            chosen(asked=["eurocode-timber==2025"])
        assert refusal.value.faults[0].allowed == ["eurocode-timber==2004+A2:2014@1.1.0"]

    def test_none_at_all(self, chosen):
        selection = chosen(asked=[])
        assert ids(selection) == []
        assert selection.notes == ("No code of practice is among the packs asked for: nothing is judged for strength.",)

    def test_a_pack_of_another_country_is_said_so(self, chosen):
        assert chosen(Site(country="FR"), asked=["uk-national"]).notes == ("uk-national was asked for and does not hold at a site in FR.",)


class TestDated:
    def test_before_and_after(self, chosen):
        assert "eurocode-timber" in ids(chosen(as_of=datetime.date(2028, 3, 29)))
        assert "eurocode-timber" not in ids(chosen(as_of=datetime.date(2028, 3, 30)))
        assert "uk-national" not in ids(chosen(as_of=datetime.date(2028, 3, 30)))
        assert "eurocode-timber" not in ids(chosen(as_of=datetime.date(2014, 1, 1)))

    def test_out_of_force_must_be_pinned(self, chosen, refused):
        later = datetime.date(2030, 1, 1)
        assert refused(lambda: chosen(as_of=later, asked=["eurocode-timber"])) == [("/codes/packs/0", "pack-not-in-force")]
        selection = chosen(as_of=later, asked=["eurocode-timber==2004+A2:2014"])
        assert "k_mod" in selection.values
        assert sum("is not in force on 2030-01-01" in note for note in selection.notes) == 2


class TestParameters:
    @pytest.mark.parametrize(
        ("name", "value", "pointer", "code"),
        [
            ("gama_m", 1.3, "/codes/parameters/gama_m", "unknown-parameter"),
            ("gamma_m", "much", "/codes/parameters/gamma_m/value", "wrong-kind"),
            ("combination_rule", 6.1, "/codes/parameters/combination_rule/value", "wrong-kind"),
            ("combination_rule", "6.11", "/codes/parameters/combination_rule/value", "unknown-word"),
            ("gamma_m", 0.0, "/codes/parameters/gamma_m/value", "out-of-range"),
            ("gamma_q", -1.5, "/codes/parameters/gamma_q/value", "out-of-range"),
            ("gamma_q", float("inf"), "/codes/parameters/gamma_q/value", "out-of-range"),
            ("gamma_q", float("nan"), "/codes/parameters/gamma_q/value", "out-of-range"),
            ("a/b~c", 1.0, "/codes/parameters/a~1b~0c", "unknown-parameter"),
        ],
    )
    def test_what_cannot_be_set(self, chosen, name, value, pointer, code, refused):
        assert refused(lambda: chosen(parameters=[Parameter(name, value, "because")])) == [(pointer, code)]

    @pytest.mark.parametrize(("name", "near"), [("gama_m", "gamma_m"), ("qqqzzz", None)])
    def test_what_comes_near_a_name_is_told(self, chosen, name, near):
        (fault,) = wrong_parameter(Parameter(name, 1.3, "because"), chosen().values)
        assert (fault.allowed[0] if fault.allowed else fault.allowed) == near
        assert len(fault.allowed or ()) <= NEAREST

    def test_all_at_once(self, chosen, refused):
        wrong = [Parameter("one", 1.0, "x"), Parameter("two", 1.0, "x")]
        assert len(refused(lambda: chosen(parameters=wrong))) == 2

    def test_a_word_and_a_number_and_a_whole_table(self, chosen):
        asked = [Parameter("combination_rule", "6.10a/b", "a"), Parameter("gamma_q", 1.6, "b"), Parameter("gamma_m", 1.5, "c")]
        values = chosen(parameters=asked).values
        assert (values["combination_rule"].number, values["gamma_q"].number, values["gamma_m"].number) == ("6.10a/b", 1.6, 1.5)
        assert values["gamma_m"].table is None
        assert values["gamma_m"].overrides == "uk-national"

    def test_declared_rules_carry_the_numbers_in_force(self, chosen):
        rules = {rule.slug: rule for rule in chosen(parameters=[Parameter("hanger_gap_max_mm", 3.0, "ours")]).declared}
        row = {"support.id": "S1", "support.seat_on": "hanger", "support.gap_specified_mm": 4.0}
        assert rules["hanger-gap-specified"].judge(row).kind == "fail"
        assert {rule.slug: rule for rule in chosen().declared}["hanger-gap-specified"].judge(row).kind == "pass"


@pytest.mark.parametrize(
    ("regions", "elsewhere", "site", "holds"),
    [
        ((), (), Site(), True),
        (("GB",), (), Site(), False),
        (("GB",), (), Site(country="GB", subdivision="GB-SCT"), True),
        (("GB-ENG",), (), Site(country="GB"), True),
        (("GB-ENG",), (), Site(country="GB", subdivision="GB-SRY"), False),
        (("GB-ENG",), ("GB-SCT",), Site(country="GB", subdivision="GB-SRY"), True),
        (("GB-ENG",), ("GB-SCT",), Site(country="GB", subdivision="GB-SCT"), False),
        (("GB-ENG",), ("GB-SCT",), Site(country="FR"), False),
        (("G",), (), Site(country="GB"), False),
    ],
)
def test_where_a_pack_holds(shipped, regions, elsewhere, site, holds):
    from dataclasses import replace

    pack = replace(shipped.pack("workshop-practice"), regions=regions, elsewhere=elsewhere)
    assert bool(why_here(pack, site)) is holds


def test_expected_actions_of_the_component(chosen):
    assert [each.id for each in chosen().expected] == [
        "roof-permanent",
        "ceiling-permanent",
        "snow",
        "maintenance",
        "ceiling-imposed-area",
        "ceiling-imposed-person",
        "wind-both-ways",
    ]
    assert [each.id for each in chosen(component_type="solid-joist").expected] == [
        "permanent",
        "imposed-area",
        "imposed-point",
        "partitions",
    ]
    assert chosen(component_type="other").expected == ()


def test_the_code_is_the_pack_that_combines(chosen):
    assert chosen().code.id == "eurocode-basis"
    assert chosen(Site()).code is None
