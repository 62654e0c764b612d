"""The catalogue explains every pack and rule from its own data, and what it says agrees with what is judged."""

from __future__ import annotations

import json
from typing import Any

import pytest

from rules.library.catalogue import pack_list, pack_page, rule_page
from rules.library.loading import Library, load_library


@pytest.fixture(scope="module")
def shipped() -> Library:
    return load_library()


def every_rule(library: Library) -> list[tuple[str, str]]:
    return [(pack.id, rule.slug) for pack in library.packs for rule in (*pack.rules, *pack.declared)]


def test_the_list_is_by_id_and_counts(shipped):
    listed = pack_list(shipped)
    assert [each["id"] for each in listed] == sorted(each["id"] for each in listed)
    timber = next(each for each in listed if each["id"] == "eurocode-timber")
    assert timber["pin"] == "eurocode-timber==2004+A2:2014@1.1.0"
    pack = shipped.pack("eurocode-timber")
    assert timber["rule_count"] == len((*pack.rules, *pack.declared))
    assert timber["digest"].startswith("sha256:")
    assert sum(timber["seen"].values()) == timber["rule_count"] + timber["value_count"]


def test_every_page_is_plain_data(shipped):
    pages: list[Any] = [pack_list(shipped), *(pack_page(shipped, pack.id) for pack in shipped.packs)]
    pages += [rule_page(shipped, pack, slug) for pack, slug in every_rule(shipped)]
    for page in pages:
        assert json.loads(json.dumps(page, allow_nan=False)) == page


def test_what_is_unknown_is_a_key_error(shipped):
    for ask in (
        lambda: pack_page(shipped, "nobody"),
        lambda: rule_page(shipped, "nobody", "x"),
        lambda: rule_page(shipped, "grades-en", "x"),
    ):
        with pytest.raises(KeyError):
            ask()


@pytest.mark.parametrize(
    "pack", ["eurocode-basis", "eurocode-timber", "grades-en", "uk-national", "england-house-longhorn", "workshop-practice"]
)
def test_every_number_on_a_page_says_where_it_is_from(shipped, pack):
    page = pack_page(shipped, pack)
    assert page["values"] or page["grades"]
    for value in page["values"]:
        assert value["citation"]["document"]
        assert value["citation"]["seen"] in ("read", "memory", "practice")
        assert (value["value"] is None) != (value["table"] is None)
    for grade in page["grades"]:
        assert grade["source"].startswith("EN ")
        assert grade["seen"] in ("read", "memory")


def test_every_rule_explains_itself(shipped):
    for pack, slug in every_rule(shipped):
        page = rule_page(shipped, pack, slug)
        assert page["why"], page["id"]
        assert page["citations"][0]["document"]
        for judgement in page["judgements"]:
            assert judgement["message"]
            assert judgement.get("demand") or judgement.get("require")
            assert judgement["examples"], page["id"]


def test_the_formula_is_the_walk_from_the_design_to_the_ratio(shipped):
    judgement = rule_page(shipped, "eurocode-timber", "tension")["judgements"][0]
    steps = {step["name"]: step for step in judgement["formula"]}
    given = {each["name"] for each in judgement["from_the_design"]}
    names = list(steps)
    assert steps["tension_ratio"]["expression"] == "σ_t,0,d / f_t,0,d"
    assert names.index("f_t0d") < names.index("tension_ratio")
    for step in judgement["formula"]:
        for need in step["needs"]:
            known = need in steps or need in {value["name"] for value in judgement["parameters"]} or need in given
            assert known, (step["name"], need)
    assert {"k_mod", "gamma_m"} <= {value["name"] for value in judgement["parameters"]}
    assert "n" in given


def test_a_declared_rule_shows_its_words_facts_numbers_and_examples(shipped):
    page = rule_page(shipped, "workshop-practice", "hanger-gap-found")
    judgement = page["judgements"][0]
    assert page["how"] == "declared"
    assert judgement["demand"] == {"expression": "support.gap_found_mm", "unit": "mm"}
    assert [value["name"] for value in judgement["parameters"]] == ["hanger_gap_max_mm"]
    asked = {fact["name"]: fact["ask"] for fact in judgement["from_the_design"]}
    assert asked["support.gap_found_mm"] == "What gap was found at the hanger? (as_built.at_supports)"
    assert {example["expect"] for example in judgement["examples"]} == {"pass", "fail", "open", "notApplicable"}


def test_a_declared_rule_shows_the_tables_it_looks_things_up_in(shipped):
    judgement = rule_page(shipped, "england-house-longhorn", "roof-softwood-treated")["judgements"][0]
    tables = {value["name"] for value in judgement["parameters"]}
    assert tables == {"beetle_areas", "beetle_parishes", "districts", "districts_since"}
    assert len(judgement["undecided"]) == 6


def test_a_rule_of_several_parts_is_one_page(shipped):
    page = rule_page(shipped, "eurocode-timber", "deflection")
    parts = [judgement["part"] for judgement in page["judgements"]]
    assert len(parts) == len(set(parts)) == 3


def test_intervals_in_words(shipped):
    page = pack_page(shipped, "workshop-practice")
    rows = next(value["table"]["rows"] for value in page["values"] if value["name"] == "strongback_rows")
    assert [row["keys"] for row in rows] == [["up to 4000"], ["above 4000 up to 8000"], ["above 8000"]]


def test_what_leans_on_a_pack_is_said(shipped):
    assert pack_page(shipped, "grades-en")["built_on_by"] == ["eurocode-timber"]
