"""What holds for every shipped pack: its rules show how they answer, and its numbers say where they are from."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import rules.packs
from rules.library.offered import OFFERED
from rules.library.testing import complaints

FOLDERS = sorted(file.parent.name for file in Path(rules.packs.__file__).parent.glob("*/pack.yaml"))
IDS = [folder.replace("_", "-") for folder in FOLDERS]


@pytest.mark.parametrize("id", IDS)
def test_the_folder_is_the_id_with_underscores(shipped, id):
    assert shipped.pack(id).id == id


@pytest.mark.parametrize("id", IDS)
def test_every_rule_shows_its_passing_failing_and_other_answers_and_they_come_out(shipped, id):
    assert list(complaints(shipped.pack(id), shipped)) == []


@pytest.mark.parametrize("id", IDS)
def test_every_value_and_grade_has_a_citation_that_says_how_far_it_was_seen(shipped, id):
    pack = shipped.pack(id)
    for value in pack.values:
        assert value.cites.document, value.name
        assert value.cites.edition, value.name
        assert value.cites.clause, value.name
        assert value.cites.seen in ("read", "memory", "practice"), value.name
        assert value.cites.seen != "read" or value.cites.source, value.name
    for grade in pack.materials:
        assert grade.seen in ("read", "memory"), grade.id
        assert grade.source, grade.id


@pytest.mark.parametrize("id", IDS)
def test_every_rule_has_a_citation_a_reason_and_a_sentence(shipped, id):
    pack = shipped.pack(id)
    for rule in (*pack.rules, *pack.declared):
        assert rule.cites.document, rule.id
        assert rule.cites.seen in ("read", "memory", "practice"), rule.id
        assert rule.why.endswith("."), rule.id
        assert rule.message.rstrip().endswith("."), rule.id
        assert not rule.title.endswith("."), rule.id
        assert rule.when is None or rule.because, rule.id


@pytest.mark.parametrize("offered", OFFERED, ids=lambda each: each.name)
def test_what_schedules_look_for_is_given_in_its_unit_and_told_to_authors(shipped, offered):
    given = [quantity for id in IDS for quantity in shipped.pack(id).quantities if quantity.name == offered.name]
    assert given, "no shipped pack gives it: a name that nobody gives is no offer"
    assert {quantity.unit for quantity in given} == {offered.unit}
    assert f"`{offered.name}`" in (Path(rules.packs.__file__).parent / "README.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("id", IDS)
def test_a_release_and_an_edition_make_a_pin(shipped, id):
    pack = shipped.pack(id)
    assert re.fullmatch(r"[a-z0-9-]+==.+@\d+\.\d+\.\d+", pack.pin)
    assert pack.what.endswith(".")
    assert pack.not_covered


def test_formulas_hold_no_numbers_of_a_code_of_practice(shipped):
    """Every name a formula needs comes from a table of values, another formula, or the design: never from nowhere."""
    pack = shipped.pack("eurocode-timber")
    assert pack.quantities
    assert not {value.name for value in pack.values} & {quantity.name for quantity in pack.quantities}


def test_expected_actions_can_be_declined_by_an_id_of_their_own(shipped):
    for kind, expected in shipped.pack("eurocode-basis").expected.items():
        ids = [each.id for each in expected]
        assert len(set(ids)) == len(ids), kind
        assert all(each.ask.endswith("?") for each in expected)
