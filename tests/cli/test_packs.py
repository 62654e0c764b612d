"""`birdsmouth packs`: what there is, and what one pack asks and leaves out."""

import re

import pytest

from rules.library import Library
from service.cli import main


def test_the_list_names_every_pack_with_its_edition(library: Library, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["packs", "list"]) == 0
    shown = capsys.readouterr().out
    for pack in library.packs:
        assert re.search(rf"^ {pack.id} ", shown, re.MULTILINE)
    assert "2004+A2:2014" in shown
    assert max(map(len, shown.splitlines())) <= 100


def test_a_pack_is_shown_with_its_rules_and_what_it_does_not_cover(library: Library, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["packs", "show", "eurocode-timber"]) == 0
    shown = capsys.readouterr().out
    for words in ("document   EN 1995-1-1", "release    ", "digest     sha256:", "bending-with-compression", "Does not cover:"):
        assert words in shown
    assert all(f"· {item}\n" in shown for item in library.pack("eurocode-timber").not_covered)


def test_a_packs_document_is_shown_by_clause(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["packs", "show", "eurocode-timber", "--clauses"]) == 0
    shown = capsys.readouterr().out
    assert re.search(r"^ 6\.2\.3 +bending with tension +judged +bending-with-tension$", shown, re.MULTILINE)
    assert re.search(r"^ 6\.4 .* not applicable +straight prismatic pieces$", shown, re.MULTILINE)
    assert re.search(r"^ 9\.2\.3, 9\.2\.4 .* not applicable +a deck or wall that holds as a$", shown, re.MULTILINE)
    assert re.search(r"^ \d+ judged, \d+ not applicable, \d+ not implemented\.$", shown, re.MULTILINE)


def test_every_rule_is_shown_in_full(library: Library, capsys: pytest.CaptureFixture[str]) -> None:
    for pack in library.packs:
        for rule in (*pack.rules, *pack.declared):
            assert main(["packs", "show", rule.id]) == 0
            shown = capsys.readouterr().out
            for words in (rule.title.split()[0], " must ", "source: ", "Examples: ", "notApplicable: " if rule.when else "pass: "):
                assert words in " ".join(shown.split()) + " ", rule.id
            assert max(map(len, shown.splitlines())) <= 100


def test_a_rule_says_where_its_numbers_were_read(library: Library, capsys: pytest.CaptureFixture[str]) -> None:
    rule = next(each for each in library.pack("eurocode-timber").rules if each.slug == "compression")
    assert main(["packs", "show", rule.id]) == 0
    assert f"edition 2004+A2:2014: read ({rule.cites.source})" in " ".join(capsys.readouterr().out.split())


def test_an_unknown_rule_is_told_with_those_there_are(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["packs", "show", "workshop-practice/nothing"]) == 2
    assert "has no rule 'nothing'. Its rules: gap-found-as-measured, hanger-gap-found" in capsys.readouterr().err


def test_a_pack_without_rules_says_so(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["packs", "show", "grades-en"]) == 0
    assert "No rules of its own" in capsys.readouterr().out
