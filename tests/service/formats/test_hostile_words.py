"""Ids and titles are the sender's. Whatever they hold, every format stays what it is, and says no more than they say."""

import copy
import json
from html.parser import HTMLParser
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import jsonschema_rs
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from service.formats.dressing import FORMATS
from service.formats.templating import markdown_text

HERE = Path(__file__).parent
BY_HAND = json.loads((HERE.parents[1] / "cli" / "reports" / "failing.json").read_text(encoding="utf-8"))
SARIF = jsonschema_rs.Draft4Validator(json.loads((HERE / "sarif-2.1.0.json").read_text(encoding="utf-8")))
HOSTILE = [
    "<script>alert(1)</script>", '"><img src=x onerror=alert(1)>', "]]><x/>", "<!ENTITY x SYSTEM 'file:///etc/passwd'>&x;", "&lt;b&gt;",
    "::error file=x::y", "a\n::stop-commands::x", "%0A::set-output name=x::y", "a,line=2", "[x](javascript:alert(1))", "![x](http://elsewhere.example/p.png)",
    "a | b | c", "`code`", "# heading", "- item", "1. item", "| |\n|---|", "---", "@everyone", "http://elsewhere.example", "www.elsewhere.example",
    "mailto:a@b.example", "<http://elsewhere.example>", "\x1b[31mred", "\u202eback", "\ufffe", "\U0001ffff", "\x00", "{{ 7*7 }}", "{% raw %}", "\\", "*b* _i_ ~~s~~",
    "'; drop table", "a\r\nb", "\u2028", "", " ",
]  # fmt: skip


def spoilt(words: str) -> dict[str, Any]:
    """The report by hand with these words wherever the sender's words can stand."""
    report = copy.deepcopy(BY_HAND)
    report["reference"] = report["title"] = words
    for finding in report["findings"]:
        finding["where"] = {"member": words, "pointer": f"/members/{words}"}
        finding["part"] = finding["combination"] = words
        finding["message"] = f"{words}: it uses 122 %"
    report["findings"][1]["waiver"] = {"reason": words, "approved_by": words, "expires": words}
    report["assumptions"][0] |= {"pointer": words, "value": words}
    row = dict.fromkeys(("item", "kind", "where", "section", "fixing", "holds", "anchored_to", "status", "note"), words)
    report["bracing"] = {"stated": words, "rows": [row | {"each_kn": 0.1, "line_kn": None}]}
    report["frame"] = {
        "nodes": [{"id": words, "x_mm": 0, "y_mm": 0}, {"id": "other", "x_mm": 9, "y_mm": 0}],
        "members": [{"id": words, "role": "web", "nodes": [words, "other"], "depth_mm": None, "plies": 1}],
        "supports": [{"id": words, "node": words, "holds": ["x"]}],
    }
    report["coverage"] = [{"rule": "eurocode-timber/deflection", "pass": 1, "because": {words: 1}}]
    return report


def check_all(words: str) -> None:
    report = spoilt(words)
    assert SARIF.is_valid(json.loads(FORMATS["sarif"].render(report, words)))
    suite = ElementTree.fromstring(FORMATS["junit"].render(report, words))
    assert {element.tag for element in suite.iter()} <= {
        "testsuites", "testsuite", "properties", "property", "testcase", "failure", "error", "skipped",
    }  # fmt: skip
    assert len(list(suite.iter("testcase"))) == 6
    assert len(json.loads(FORMATS["gitlab"].render(report, words))) == 4
    lines = FORMATS["github"].render(report, words).decode().split("\n")[:-1]
    assert len(lines) == 5
    assert all(line.startswith(("::error file=", "::warning file=", "::notice file=")) for line in lines)
    drawn = ElementTree.fromstring(FORMATS["svg"].render(report, words))
    assert {element.tag.rpartition("}")[2] for element in drawn.iter()} <= {
        "svg",
        "g",
        "rect",
        "title",
        "polyline",
        "line",
        "path",
        "circle",
        "text",
    }
    assert FORMATS["pdf"].render(report, words).startswith(b"%PDF-")
    check_page(FORMATS["html"].render(report, words).decode())
    check_markdown(FORMATS["markdown"].render(report, words).decode())


def check_page(page: str) -> None:
    plain = FORMATS["html"].render(spoilt("plain"), "plain").decode()
    assert page.count("<") <= plain.count("<"), "less where there are no words to show, more never"
    assert Elements(page).found <= Elements(plain).found, "no element and no attribute that the page has not of itself"


class Elements(HTMLParser):
    """Every element of a page as a browser reads it, with the names of its attributes."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.found: set[tuple[str, frozenset[str]]] = set()
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.add((tag, frozenset(name for name, _ in attrs)))


def check_markdown(text: str) -> None:
    reader = MarkdownIt("gfm-like")
    kinds = {child.type for token in reader.parse(text) for child in token.children or []}
    assert kinds <= {"text", "softbreak"}
    blocks = {token.type.removesuffix("_open").removesuffix("_close") for token in reader.parse(text)}
    assert blocks <= {"heading", "paragraph", "inline", "table", "thead", "tbody", "tr", "th", "td", "bullet_list", "list_item"}


@pytest.mark.parametrize("words", HOSTILE)
def test_hostile_words_are_only_words(words: str) -> None:
    check_all(words)


@settings(max_examples=100, deadline=None)
@given(st.text(max_size=30))
def test_any_words_are_only_words(words: str) -> None:
    check_all(words)


@settings(max_examples=300, deadline=None)
@given(st.text(st.sampled_from("ab1.:-+=()[]{}<>&*_`~|#!\\/@ w\n"), max_size=20))
def test_words_for_markdown_read_as_themselves(words: str) -> None:
    """A paragraph, since that is where the most signs mean something."""
    tokens = MarkdownIt("commonmark").enable("table").parse(f"x {markdown_text(words)} x")
    (inline,) = [token for token in tokens if token.type == "inline"]
    told = "".join(child.content for child in inline.children or [])
    assert told.replace("\u2060", "").split() == f"x {words} x".split()
