"""A postcode tells the district, as an assumption with its source; where it does not, the question stays."""

from __future__ import annotations

import datetime

import pytest

from rules.judge import check
from rules.library import load_library
from rules.subject.design import Design
from rules.subject.frame import Member, Node, Rectangle, Support
from rules.subject.site import Site
from service import places
from service.places import directory_version, district_of, located


def truss_at(**site):
    return Design(
        reference="P1",
        component_type="trussed-rafter",
        nodes=(Node("A", 0.0, 0.0), Node("B", 3000.0, 0.0)),
        members=(Member("T", "ceiling-tie", ("A", "B"), Rectangle(35.0, 97.0), "C24", treatment="none"),),
        supports=(Support("S1", "A", ("x", "y")), Support("S2", "B", ("y",))),
        site=Site(**site),
    )


@pytest.mark.parametrize(
    ("postcode", "code"),
    [
        ("GU21 6YL", "E07000217"),  # the town hall of Woking
        ("gu216yl", "E07000217"),
        ("KT10 9SD", "E07000207"),  # of Elmbridge
        ("G2 1DU", "S12000049"),  # of Glasgow
        ("CF10 3AT", "W06000015"),  # Cardiff
        ("GU21 6Y", None),
        ("ZZ99 9ZZ", None),
        ("12345", None),
        ("", None),
    ],
)
def test_public_buildings_lie_where_everybody_knows(postcode, code):
    """Postcodes of town halls, public knowledge; districts by the Register of geographic codes."""
    assert district_of(postcode) == code


def test_the_district_is_an_assumption_that_names_its_source():
    design = located(truss_at(country="GB", postcode="GU21 6YL"))
    assert (design.site.district, design.site.subdivision) == ("E07000217", "GB-ENG")
    report = check(design, load_library(), as_of=datetime.date(2026, 11, 25))
    said = next(each for each in report["assumptions"] if each["pointer"] == "/site/district")
    assert said["value"] == "E07000217"
    assert "GU21 6YL" in said["because"]
    assert f"Postcode Directory, as redistributed in {places.DISTRIBUTION} {directory_version()}" in said["because"]
    treated = [each for each in report["findings"] if each["rule"] == "england-house-longhorn/roof-softwood-treated"]
    assert [each["kind"] for each in treated] == ["fail"]


@pytest.mark.parametrize(
    "site",
    [
        {"country": "GB", "district": "Leeds", "postcode": "GU21 6YL"},  # what is stated stands
        {"country": "FR", "postcode": "GU21 6YL"},
        {"country": "GB", "subdivision": "GB-SCT", "postcode": "GU21 6YL"},  # contradicts itself: asked about, not decided
        {"country": "GB", "postcode": "ZZ99 9ZZ"},
        {"country": "GB"},
    ],
)
def test_what_is_stated_or_not_known_stays_as_it_is(site):
    design = truss_at(**site)
    assert located(design) is design


def test_without_the_directory_the_question_stays(monkeypatch):
    monkeypatch.setattr(places, "DIRECTORY", "no_such_directory")
    district_of.cache_clear()
    design = truss_at(country="GB", postcode="GU21 6YL")
    assert located(design) is design
    district_of.cache_clear()
