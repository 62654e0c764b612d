"""The bracing schedule as people read it: every row in text, page and Markdown, with its status; nothing where a report has none."""

import datetime
import json
from typing import Any

import pytest

from rules.library.loading import load_library
from service.demo import read_design
from service.formats import bracing, html, markdown, text
from service.formats.templating import markdown_text
from service.pipeline import check_document


@pytest.fixture(scope="module")
def report() -> dict[str, Any]:
    today = datetime.date(2026, 11, 25)
    made: dict[str, Any] = json.loads(check_document(read_design("two-reasons"), load_library(), today=today))
    return made


def test_every_row_is_in_the_text(report: dict[str, Any]) -> None:
    words = " ".join(text.render(report).decode().split())
    assert "BRACING, PIECE BY PIECE" in words
    for row in report["bracing"]["rows"]:
        assert f"{row['status'].upper()} {row['item']}" in words
        assert " ".join(row["where"].split()) in words


def test_every_row_is_on_the_page_and_in_markdown(report: dict[str, Any]) -> None:
    page, marked = html.render(report).decode(), markdown.render(report).decode()
    assert page.count("<h2>Bracing, piece by piece</h2>") == 1
    for row in report["bracing"]["rows"]:
        assert row["where"] in page
        assert f"| {row['status']} | {markdown_text(bracing.cells(row)[1])} |" in marked


def test_forces_are_told_either_way(report: dict[str, Any]) -> None:
    battens = report["bracing"]["rows"][0]
    assert bracing.takes(battens) == f"{battens['each_kn']:.3f} kN at each piece, {battens['line_kn']:.3g} kN at each anchorage, either way"
    assert bracing.takes({"each_kn": None, "line_kn": None}) == ""


@pytest.mark.parametrize("none", [{}, {"bracing": None}, {"bracing": {"stated": "listed", "rows": []}}])
def test_a_report_without_a_schedule_shows_none(report: dict[str, Any], none: dict[str, Any]) -> None:
    bare = {key: value for key, value in report.items() if key != "bracing"} | none
    for render in (text.render, html.render, markdown.render):
        assert "piece by piece" not in render(bare).decode().lower()


def test_what_the_design_says_instead_of_a_list_is_told(report: dict[str, Any]) -> None:
    said = report | {"bracing": {**report["bracing"], "stated": "left to others: drawing 7"}}
    for render in (text.render, html.render, markdown.render):
        assert "left to others" in render(said).decode()
