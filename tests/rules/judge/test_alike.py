"""Frames that differ only in what they are called are judged once, and told each by its own name, byte for byte as if judged alone."""

import datetime
import hashlib
import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.judge.judgement import EngineRule, Judgement
from rules.judge.options import Options
from rules.judge.receipt import canonical
from rules.judge.telling import finding_id
from rules.library.loading import Library, load_library
from rules.library.rule import Kind
from service.demo import design_names, read_design
from service.pipeline import Known, check_document

TODAY = datetime.date(2026, 11, 25)


@pytest.fixture(scope="module")
def library() -> Library:
    return load_library()


def called(name: str, reference: str, **more: Any) -> bytes:
    return json.dumps({**json.loads(read_design(name)), "reference": reference, **more}).encode()


@pytest.mark.parametrize("name", design_names())
def test_the_report_is_the_same_as_by_itself(library: Library, name: str) -> None:
    known = Known()
    check_document(called(name, "FIRST"), library, today=TODAY, known=known)
    waiver = {"rule": "engine/expected-actions", "element": {"kind": "design", "id": "SECOND"}, "reason": "r", "approved_by": "a", "expires": "2027-01-01"}  # fmt: skip
    for other in (
        called(name, "SECOND", title="Another"),
        called(name, "SECOND", waivers=[waiver]),
        called(name, "THIRD", baseline=["0" * 16]),
        called(name, "FOURTH", baseline=[]),
    ):
        assert check_document(other, library, today=TODAY, known=known) == check_document(other, library, today=TODAY)
    assert len(known) == 1


@pytest.mark.parametrize("wanted", [Options(include="all", working="all", response="combinations"), Options(working="none", units="us")])
def test_whatever_is_asked_for(library: Library, wanted: Options) -> None:
    """What one answer shows is not told again in another."""
    known = Known()
    for reference in ("FIRST", "SECOND", "THIRD"):
        for options in (Options(), wanted):
            body = called("two-reasons", reference)
            told = check_document(body, library, today=TODAY, options=options, known=known)
            assert told == check_document(body, library, today=TODAY, options=options)
    assert len(known) == 1


def test_another_subject_day_or_choice_of_rules_is_judged_anew(library: Library) -> None:
    known = Known()
    for body in (
        called("solid-joist", "A"), called("solid-joist", "A", spacing_mm=350), called("solid-joist", "A", codes={"as_of": "2026-11-01"}),
        called("solid-joist", "A", codes={"packs": ["eurocode-timber"]}),
    ):  # fmt: skip
        assert check_document(body, library, today=TODAY, known=known) == check_document(body, library, today=TODAY)
    assert len(known) == 4


def test_what_is_kept_is_bounded(library: Library) -> None:
    known = Known()
    for spacing in range(300, 340):
        check_document(called("solid-joist", "A", spacing_mm=spacing), library, today=TODAY, known=known)
    assert len(known) == 32


WORDS = st.text(st.characters(exclude_categories=("Cs",)))


@given(WORDS, WORDS, st.sampled_from(("design", "member")), WORDS, WORDS)
def test_a_finding_is_called_by_what_says_it_and_of_what(slug: str, reference: str, kind: str, member: str, part: str) -> None:
    """As the catalogue has it: of the canonical list, whatever letters and quotation marks stand in it."""
    element = reference if kind == "design" else member
    said = Judgement(EngineRule(slug, "title", "why"), kind, element, 0, Kind.OPEN, part)
    listed = canonical(["engine", slug, reference, kind, element, part])
    assert finding_id(said, reference) == hashlib.sha256(listed).hexdigest()[:16]
