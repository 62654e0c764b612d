"""Every district of England gets an answer, and only the listed ones a demand."""

from __future__ import annotations

import re

import pytest

WHOLE = ("Elmbridge", "Runnymede", "Spelthorne", "Surrey Heath", "Woking")
PART = ("Bracknell Forest", "Hart", "Rushmoor")
UNRESOLVED = ("Guildford", "Waverley")
CODES = {
    "Elmbridge": "E07000207",
    "Runnymede": "E07000212",
    "Spelthorne": "E07000213",
    "Surrey Heath": "E07000214",
    "Woking": "E07000217",
    "Bracknell Forest": "E06000036",
    "Hart": "E07000089",
    "Rushmoor": "E07000092",
    "Guildford": "E07000209",
    "Waverley": "E07000216",
}
"""Official codes, as the Office for National Statistics' lookup of April 2021 has them."""


@pytest.fixture(scope="module")
def pack(shipped):
    return shipped.pack("england-house-longhorn")


@pytest.fixture(scope="module")
def tables(pack):
    return {value.name: {row[0]: result for row, result in value.table.rows} for value in pack.values if len(value.table.by) == 1}


@pytest.fixture(scope="module")
def judge(pack):
    rule = next(rule for rule in pack.declared if rule.slug == "roof-softwood-treated")

    def run(**more):
        row = {
            "design.is_roof": True,
            "design.is_floor": False,
            "member.id": "BC",
            "member.is_timber": True,
            "member.wood": "softwood",
            "member.treated_against_insects": False,
            "member.treatment": "none",
            "site.country": "GB",
            "site.subdivision": "GB-ENG",
        }
        return rule.judge(row | {name.replace("__", "."): value for name, value in more.items()})

    return run


def test_all_districts_of_2021_are_there_by_name_and_by_code(tables):
    codes = [key for key in tables["districts"] if re.fullmatch(r"e0[6-9]\d{6}", key)]
    assert len(codes) == 309
    assert len(tables["districts"]) == 309 + 309 + len(("bristol", "herefordshire", "kingston upon hull"))
    assert all(key == key.lower().strip() and "  " not in key for key in tables["districts"])
    assert {"blackburn with darwen", "bournemouth, christchurch and poole", "st albans", "isles of scilly"} <= set(tables["districts"])


def test_codes_and_names_agree_on_the_areas(tables):
    words = dict.fromkeys(WHOLE, "whole") | dict.fromkeys(PART, "part") | dict.fromkeys(UNRESOLVED, "unresolved")
    assert words.keys() == CODES.keys()
    for name, code in CODES.items():
        assert tables["beetle_areas"][name.lower()] == tables["beetle_areas"][code.lower()] == words[name]
        assert name.lower() in tables["districts"]
        assert code.lower() in tables["districts"]
    assert len(tables["beetle_areas"]) == 2 * len(CODES)


def test_only_partly_listed_districts_have_parishes(pack, tables):
    parishes = next(value for value in pack.values if value.name == "beetle_parishes").table.rows
    assert {row[0] for row, _ in parishes} == {key for key, word in tables["beetle_areas"].items() if word == "part"}
    for name in PART:
        by_name = {row[1]: word for row, word in parishes if row[0] == name.lower()}
        by_code = {row[1]: word for row, word in parishes if row[0] == CODES[name].lower()}
        assert by_name == by_code
        assert set(by_name.values()) == {"inside", "outside"}


def test_every_district_has_an_answer(tables, judge):
    for key in (*tables["districts"], *tables["districts_since"]):
        word = tables["beetle_areas"].get(key)
        expected = {"whole": "fail", "part": "open"}.get(word, "notApplicable")
        for spelled in (key, key.upper(), f" {key.title()} "):
            assert judge(site__district=spelled).kind == expected, key


@pytest.mark.parametrize("district", ["", "Wokking", "Surrey", "Cardiff", "E07000299", "W06000015", "Woking Borough Council", "x" * 64])
def test_what_is_no_district_is_asked_about(judge, district):
    outcome = judge(site__district=district)
    assert outcome.kind == "open"
    assert "not on the list of English districts" in outcome.asks[0]


@pytest.mark.parametrize(
    ("district", "parish", "kind"),
    [
        ("Hart", "Yateley", "fail"),
        ("E07000089", "Blackwater and Hawley", "fail"),
        ("Hart", "Fleet", "notApplicable"),
        ("Bracknell Forest", "Sandhurst", "fail"),
        ("Bracknell Forest", "Binfield", "notApplicable"),
        ("Rushmoor", "Farnborough", "fail"),
        ("Rushmoor", "Aldershot", "notApplicable"),
        ("Hart", "Sandhurst", "open"),
        ("Hart", None, "open"),
        ("Woking", "anything", "fail"),
        (None, "Yateley", "open"),
    ],
)
def test_parishes_of_partly_listed_districts(judge, district, parish, kind):
    assert judge(site__district=district, site__parish=parish).kind == kind


def test_treatment_against_insects_is_enough_everywhere(judge):
    for district in (*CODES, *CODES.values(), None, "Wokking"):
        outcome = judge(site__district=district, member__treated_against_insects=True, member__treatment="insects")
        assert outcome.kind in ("pass", "notApplicable")


def test_it_says_the_list_is_from_memory(pack, judge):
    assert "from memory" in judge(site__district="Woking").message
    assert {value.name: value.cites.seen for value in pack.values} == {
        "beetle_areas": "memory",
        "beetle_parishes": "memory",
        "districts": "read",
        "districts_since": "memory",
    }


def test_the_licence_of_the_list_of_districts_is_named(pack):
    source = next(value for value in pack.values if value.name == "districts").cites.source
    assert "Open Government Licence v3.0" in source
    assert "geoportal.statistics.gov.uk" in source
