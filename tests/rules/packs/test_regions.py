"""What holds where against insects, termites and decay: one row a region, each with where it was read or that it is remembered."""

from __future__ import annotations

import datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rules.judge import check
from rules.library import choose, load_library
from rules.subject.design import Codes, Design
from rules.subject.frame import Member, Node, Rectangle, Support, Treatment
from rules.subject.site import Site

DAY = datetime.date(2026, 11, 25)
LIBRARY = load_library()
H2F = Treatment(("insects", "termites"), "AS 1604", "H2F")


def tie(site, treatment=None, component="trussed-rafter", packs=None):
    return Design(
        reference="R1",
        component_type=component,
        nodes=(Node("A", 0.0, 0.0), Node("B", 3000.0, 0.0)),
        members=(Member("T", "ceiling-tie", ("A", "B"), Rectangle(35.0, 97.0), "C24", treatment=treatment),),
        supports=(Support("S1", "A", ("x", "y")), Support("S2", "B", ("y",))),
        site=Site(**site),
        codes=Codes(packs=packs),
    )


def findings(site, treatment=None, component="trussed-rafter", packs=None):
    return check(tie(site, treatment, component, packs), LIBRARY, as_of=DAY)["findings"]


def kinds(pack, site, treatment=None, component="trussed-rafter"):
    """What one pack says by itself: which code of practice holds there, and knows which grades, is another question."""
    return {each["rule"]: (each["kind"], each["level"]) for each in findings(site, treatment, component, (pack,))}


ROWS = [
    # id of the fact, site, treatment, rule, kind, level, where it was read
    ("gb-eng-hlb", {"country": "GB", "subdivision": "GB-ENG", "district": "Woking"}, "none", "england-house-longhorn/roof-softwood-treated",
     "fail", "warning", "list from memory; substance in Building Construction Handbook, 8th edition"),
    ("gb-sct", {"country": "GB", "subdivision": "GB-SCT"}, "none", "uk-insects/no-beetle-areas-listed", "informational", "none", "memory"),
    ("gb-wls", {"country": "GB", "subdivision": "GB-WLS"}, "none", "uk-insects/no-beetle-areas-listed", "informational", "none", "memory"),
    ("gb-nir", {"country": "GB", "subdivision": "GB-NIR"}, "none", "uk-insects/no-beetle-areas-listed", "informational", "none", "memory"),
    ("eu-en335", {"country": "DE", "service_class": 3}, Treatment(("decay",), "EN 15228", "UC2"), "use-classes/treated-for-where-it-stands",
     "fail", "warning", "memory"),
    ("us-irc-termite", {"country": "US", "subdivision": "US-OR", "termites": "slight"}, "none", "us-termites/protection-from-termites-decided",
     "open", "none", "thebuildingcodeforum.com, in part"),
    ("us-hi-structural-lumber", {"country": "US", "subdivision": "US-HI", "termites": "very-heavy"}, "none", "us-termites/hawaii-lumber-treated",
     "fail", "error", "casetext.com, Hawaii Administrative Rules title 3"),
    ("us-fl-termite", {"country": "US", "subdivision": "US-FL"}, None, "us-termites/florida-certificate", "informational", "none",
     "howtolookatahouse.com"),
    ("us-ibc-termite-map", {"country": "US", "subdivision": "US-GA"}, None, "us-termites/very-heavy-zone", "informational", "none", "memory"),
    ("au-ncc-termite", {"country": "AU", "subdivision": "AU-NSW", "termites": "present", "termite_protection": "none"}, "none",
     "australia-treatment/house-protected-from-termites", "fail", "error", "ncc.abcb.gov.au, 2019, 3.1.4.2"),
    ("au-nt-mastotermes", {"country": "AU", "subdivision": "AU-NT", "termites": "giant-northern", "termite_protection": "resistant-timber"},
     "none", "australia-treatment/giant-northern-termite", "fail", "error", "ncc.abcb.gov.au, 2022, NT 3.4.1"),
    ("au-hazard-classes", {"country": "AU", "subdivision": "AU-VIC", "termites": "present", "termite_protection": "treated-timber"},
     Treatment(("insects",), "AS 1604", "H1"), "australia-treatment/class-withstands-termites", "fail", "error", "canterburytimbers.com.au"),
    ("au-h2f-latitude", {"country": "AU", "subdivision": "AU-QLD", "latitude_deg": -19.3}, H2F,
     "australia-treatment/envelope-treatment-stays-south", "fail", "error", "canterburytimbers.com.au"),
    ("au-wa-ehb", {"country": "AU", "subdivision": "AU-WA"}, None, "australia-treatment/european-house-borer", "informational", "none",
     "fwpa.com.au, advice"),
    ("nz-b2as1-h12", {"country": "NZ"}, "none", "new-zealand-treatment/enclosed-framing-treated", "fail", "warning", "dbh.govt.nz"),
    ("fr-insects-nationwide", {"country": "FR", "termites": "none"}, "none", "france-insects/structural-timber-resists-larvae",
     "fail", "warning", "memory"),
    ("fr-termite-zones", {"country": "FR", "subdivision": "FR-33"}, "none", "france-insects/termite-zone-timber-resists", "open", "none",
     "isere.gouv.fr"),
    ("fr-termite-departements-1996", {"country": "FR", "subdivision": "FR-40"}, None, "france-insects/department-with-an-order",
     "informational", "none", "conferenceconsensuslogement.senat.fr"),
    ("fr-44-termite", {"country": "FR", "subdivision": "FR-44"}, None, "france-insects/department-with-an-order", "informational", "none",
     "data.gouv.fr"),
]  # fmt: skip


@pytest.mark.parametrize(("site", "treatment", "rule", "kind", "level"), [row[1:6] for row in ROWS], ids=[row[0] for row in ROWS])
def test_each_region_says_what_it_asks_for(site, treatment, rule, kind, level):
    pack = rule.split("/")[0]
    assert kinds(pack, site, treatment)[rule] == (kind, level)
    chosen = choose(LIBRARY, Site(**site), "trussed-rafter", DAY, None).packs
    assert pack in {each.pack.id for each in chosen}


@pytest.mark.parametrize(("rule", "read_at"), [(row[3], row[6]) for row in ROWS], ids=[row[0] for row in ROWS])
def test_what_was_not_read_is_not_called_read(rule, read_at):
    pack, slug = rule.split("/")
    cites = next(each.cites for each in LIBRARY.pack(pack).declared if each.slug == slug)
    assert cites.seen == ("memory" if "memory" in read_at or "in part" in read_at else "read")


@pytest.mark.parametrize("subdivision", ["US-AL", "US-FL", "US-GA", "US-LA", "US-MS", "US-SC", "US-HI", "US-TX", "US-CA"])
def test_states_of_very_heavy_termites(subdivision):
    assert kinds("us-termites", {"country": "US", "subdivision": subdivision})["us-termites/very-heavy-zone"][0] == "informational"


@pytest.mark.parametrize("subdivision", ["FR-17", "FR-24", "FR-40", "FR-79", "FR-85", "FR-971", "FR-973", "FR-44"])
def test_departments_with_an_order(subdivision):
    assert (
        kinds("france-insects", {"country": "FR", "subdivision": subdivision})["france-insects/department-with-an-order"][0]
        == "informational"
    )


@pytest.mark.parametrize("subdivision", ["FR-971", "FR-972", "FR-973", "FR-974", "FR-976"])
def test_overseas_departments_want_it_everywhere(subdivision):
    told = kinds("france-insects", {"country": "FR", "subdivision": subdivision, "termites": "none"}, "none")
    assert told["france-insects/termite-zone-timber-resists"] == ("fail", "error")


@pytest.mark.parametrize("subdivision", ["AU-ACT", "AU-NSW", "AU-SA", "AU-TAS", "AU-VIC"])
def test_the_south_of_australia_needs_no_latitude(subdivision):
    assert "australia-treatment/envelope-treatment-stays-south" not in kinds(
        "australia-treatment", {"country": "AU", "subdivision": subdivision}, H2F
    )


def test_a_place_that_cannot_be_resolved_is_open_with_its_question():
    found = findings({"country": "AU", "subdivision": "AU-QLD"}, H2F, packs=("australia-treatment",))
    told = {each["rule"]: each for each in found}
    assert told["australia-treatment/envelope-treatment-stays-south"]["kind"] == "open"
    assert "latitude" in told["australia-treatment/envelope-treatment-stays-south"]["message"]
    assert told["australia-treatment/house-protected-from-termites"]["kind"] == "open"
    assert "council" in told["australia-treatment/house-protected-from-termites"]["message"]


@pytest.mark.parametrize("country", ["NZ", "ZA", "JP"])
def test_where_no_code_of_practice_is_held_nothing_passes(country):
    report = check(tie({"country": country}, Treatment(("insects", "decay"), None, "H1.2")), LIBRARY, as_of=DAY)
    assert report["verdict"] == "open"


REGIONAL = tuple(pack.id for pack in LIBRARY.packs if pack.layer == "region" and not pack.builds_on)
SITES = st.sampled_from([row[1] for row in ROWS])
TREATMENTS = st.sampled_from([None, "none", H2F, Treatment(("insects", "decay"), None, "UC3"), Treatment(("insects",), None, "H1.2")])


@settings(max_examples=25, deadline=None)
@given(SITES, TREATMENTS, st.sets(st.sampled_from(REGIONAL), min_size=1, max_size=4), st.sampled_from(REGIONAL))
def test_no_pack_changes_what_another_one_says(site, treatment, some, one_more):
    """Whatever regional packs are asked for, another one beside them adds its own findings and leaves theirs as they are."""
    others = (some - {one_more}) or {"workshop-practice"}
    before = said_by_packs(findings(site, treatment, packs=tuple(sorted(others))))
    after = said_by_packs(findings(site, treatment, packs=tuple(sorted({*others, one_more}))))
    assert [each for each in after if not each["rule"].startswith(f"{one_more}/")] == before


def said_by_packs(found):
    """What packs said; the engine's own words, such as that nothing was judged for strength, are about the whole choice."""
    return [each for each in found if not each["rule"].startswith("engine/")]
