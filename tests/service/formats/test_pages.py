"""Pages for people, HTML, Markdown and PDF: they stand by themselves and tell everything found."""

import json
import re
from collections import Counter
from collections.abc import Callable
from html.parser import HTMLParser
from io import BytesIO
from typing import Any
from xml.etree import ElementTree

import pytest
from markdown_it import MarkdownIt
from markupsafe import escape
from pypdf import PdfReader

from service.formats.drawing import numbered
from service.formats.dressing import FORMATS
from service.formats.found import alike, also, headed, others
from service.formats.standing import shown

SOURCE = "designs/t 04,ü.json"
Report = dict[str, Any]
DRAWN = {
    "viewbox",
    "role",
    "x",
    "y",
    "x1",
    "y1",
    "x2",
    "y2",
    "cx",
    "cy",
    "r",
    "rx",
    "d",
    "points",
    "width",
    "height",
    "fill",
    "fill-opacity",
    "stroke",
    "stroke-opacity",
    "stroke-width",
    "stroke-dasharray",
    "text-anchor",
    "font-family",
    "font-size",
    "font-weight",
}
"""Attributes of the frame's drawing: looks, and nothing that leads elsewhere or runs."""
Told = Callable[[str, bytes], str]


class Tags(HTMLParser):
    """Which tags and attributes a page has, and its words."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: Counter[str] = Counter()
        self.attributes: set[str] = set()
        self.words: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags[tag] += 1
        self.attributes |= {name for name, _ in attrs}

    def handle_data(self, data: str) -> None:
        self.words.append(data)


def parsed(content: bytes) -> Tags:
    page = Tags()
    page.feed(content.decode())
    return page


def test_the_page_stands_by_itself(reports: dict[str, Report], name: str) -> None:
    page = parsed(FORMATS["html"].render(reports[name], SOURCE))
    assert not {"script", "link", "img", "iframe", "object", "a", "form"} & set(page.tags)
    assert page.attributes <= {"lang", "charset", "name", "content", "class", "scope", "data-head", "aria-label", *DRAWN}
    assert page.tags["svg"] == ("frame" in reports[name])
    assert b"http" not in FORMATS["html"].render(reports[name], SOURCE)


def test_every_head_says_what_it_heads_and_every_drawing_what_it_shows(reports: dict[str, Report], name: str) -> None:
    page = FORMATS["html"].render(reports[name], SOURCE).decode()
    assert not re.search(r"<th(?![^>]* scope=)[ >]", page)
    assert page.count("<svg ") == len(
        re.findall(r'<svg [^>]*role="img" aria-label="Drawing of the frame: \d+ pieces? on \d+ supports?"', page)
    )


def test_the_page_tells_everything_found(reports: dict[str, Report], name: str) -> None:
    words = " ".join("".join(parsed(FORMATS["html"].render(reports[name], SOURCE)).words).split())
    for same in alike([finding for finding in shown(reports[name]) if finding["kind"] not in ("pass", "notApplicable")]):
        assert " ".join(same[0]["message"].split()) in words
        assert others(same) in words
        assert all(finding["id"] in words for finding in same)
    for said in (*reports[name]["cautions"], *reports[name]["not_checked"]):
        assert said in words


def test_markdown_reads_back_as_tables_with_everything_found(reports: dict[str, Report], name: str) -> None:
    tokens = MarkdownIt("commonmark").enable("table").parse(FORMATS["markdown"].render(reports[name], SOURCE).decode())
    found = reports[name]["findings"]
    rows = sum(token.type == "tr_open" for token in tokens)
    sections = len({finding["kind"] for finding in found})
    receipts = sum(isinstance(value, str) for value in reports[name]["receipt"].values())
    more = [part for part in (reports[name].get("bracing", {}).get("rows"), reports[name].get("bearings")) if part]
    assert rows == len(found) + sections + receipts + 1 + sum(len(part) + 1 for part in more)
    words = words_of(FORMATS["markdown"].render(reports[name], SOURCE))
    for said in (*(finding["message"] for finding in found), *reports[name]["cautions"]):
        assert " ".join(said.split()) in words


def words_of(content: bytes) -> str:
    tokens = MarkdownIt("commonmark").enable("table").parse(content.decode())
    return "\n".join(child.content for token in tokens for child in token.children or [])


@pytest.mark.parametrize("form", ["svg", "pdf"])
def test_a_report_without_a_frame_is_told_all_the_same(reports: dict[str, Report], form: str, told: Told) -> None:
    report = {name: value for name, value in reports["two-reasons-governing"].items() if name != "frame"}
    assert report["reference"] in told(form, FORMATS[form].render(report))


def test_a_page_on_paper_tells_what_the_report_tells(reports: dict[str, Report], told: Told) -> None:
    report = reports["two-reasons-governing"]
    words = " ".join(told("pdf", FORMATS["pdf"].render(report, SOURCE)).split())
    squeezed = words.replace(" ", "")
    assert "FAIL" in words
    assert "licensed engineer" in words
    for same in alike([finding for finding in report["findings"] if finding["kind"] != "pass"]):
        assert same[0]["message"].replace(" ", "")[:40] in squeezed
        assert also(same).replace("the same", "The same").replace(" ", "") in squeezed
    for each in (*report["cautions"], *report["not_checked"]):
        assert each.replace(" ", "")[:40] in squeezed


def test_several_reports_are_one_file_each_on_a_sheet_of_its_own(reports: dict[str, Report]) -> None:
    both = [(reports["fink-governing"], "a.json"), (reports["solid-joist-governing"], "b.json")]
    pages = [page.extract_text() for page in PdfReader(BytesIO(FORMATS["pdf"].render_all(both))).pages]
    first = [text for text in pages if reports["solid-joist-governing"]["reference"] in text]
    assert reports["fink-governing"]["reference"] in pages[0]
    assert 0 < len(first) < len(pages)
    assert len(list(ElementTree.fromstring(FORMATS["svg"].render_all(both)).iter("{http://www.w3.org/2000/svg}g"))) > 2


def test_what_is_waived_or_known_is_told_apart_from_what_is_not() -> None:
    """The same words of two webs, one of them waived: the waiver is not the other's."""
    one = {"id": "a", "kind": "fail", "level": "error", "rule": "r/s", "title": "t", "message": "W1: too long.", "where": {"member": "W1"}}
    other = one | {"id": "b", "message": "W2: too long.", "where": {"member": "W2"}}
    assert [len(same) for same in alike([one, other])] == [2]
    waived = {"reason": "tested", "approved_by": "A. Engineer", "expires": "2027-01-01"}
    assert [len(same) for same in alike([one, other | {"waiver": waived}])] == [1, 1]
    assert [len(same) for same in alike([one | {"baseline_state": "new"}, other | {"baseline_state": "unchanged"}])] == [1, 1]


def test_the_page_numbers_what_the_drawing_numbers(reports: dict[str, Report]) -> None:
    page = FORMATS["html"].render(reports["two-reasons-governing"]).decode()
    told = numbered(shown(reports["two-reasons-governing"]))
    for number, same in enumerate(told, 1):
        assert f'">{number}</span> {escape(headed(same[0]))}</h3>' in page


def test_no_row_of_working_on_paper_lies_on_its_neighbour(reports: dict[str, Report], told: Told) -> None:
    """Declared rules tell facts by their names, which are longer than a symbol: what is read of a line begins with no more than fits."""
    report = json.loads(json.dumps(reports["two-reasons-governing"]))
    finding = next(each for each in report["findings"] if each["kind"] == "fail")
    finding["working"] = [{"symbol": "member.held_against_everything", "expression": "whether it is", "value": 1, "unit": "1"}]
    lines = told("pdf", FORMATS["pdf"].render(report)).replace("\u200b", "").splitlines()
    assert not [line for line in lines if "member.held_against_everything" in line], "it lies on what stands beside it"
    assert any("everything" in line for line in lines)
