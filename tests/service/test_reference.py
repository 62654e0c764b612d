"""The page at /docs: whole, by itself, and true: every call it shows is made here as it stands."""

import base64
import hashlib
import re
import shlex
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import jsonschema_rs
import pytest
import requests
from flask.testing import FlaskClient

from service.cli.gunicorn import running
from service.openapi.document import bare_document, document
from service.openapi.harvesting import harvested
from service.openapi.operations import OPERATIONS, Operation
from service.reference.examples import example
from service.reference.page import reference_page
from service.reference.samples import ADDRESS, sample
from service.reference.shapes import field

PAGE = reference_page().decode()
SHAPES = document()["components"]["schemas"]


class Read(HTMLParser):
    """Ids, links and anything that would fetch something; the texts of code."""

    def __init__(self) -> None:
        super().__init__()
        self.ids: list[str] = []
        self.links: list[str] = []
        self.fetched: list[str] = []
        self.tags: set[str] = set()
        self.feed(PAGE)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        for name, value in attrs:
            if name == "id":
                self.ids.append(value or "")
            if name == "href":
                (self.links if tag == "a" else self.fetched).append(value or "")
            if name in ("src", "srcset", "action", "style", "background", "data") or name.startswith("on"):
                self.fetched.append(f"{name}={value}")


READ = Read()


def test_it_asks_nobody_for_anything() -> None:
    assert READ.fetched == []
    assert not READ.tags & {"script", "link", "img", "iframe", "object", "embed", "form", "base"}
    assert not re.search(r"url\(|@import|@font-face", PAGE)
    assert {link for link in READ.links if not link.startswith("#")} == {"/openapi.yaml"}


def test_its_one_style_is_named_to_the_browser(client: FlaskClient) -> None:
    answer = client.get("/docs")
    policy = answer.headers["Content-Security-Policy"]
    (style,) = re.findall(r"<style>(.*?)</style>", answer.text, re.DOTALL)
    assert base64.b64encode(hashlib.sha256(style.encode()).digest()).decode() in policy
    assert policy.startswith("default-src 'none'; style-src 'sha256-")
    assert "unsafe" not in policy
    assert answer.content_type == "text/html; charset=utf-8"
    assert answer.headers["ETag"]


def test_on_a_phone_its_contents_leave_room_for_the_page() -> None:
    (narrow,) = re.findall(r"@media \(max-width:60rem\)\{(.*)\}\n", PAGE)
    assert re.search(r"nav\{[^}]*max-height:13rem", narrow)
    assert '<meta name="viewport" content="width=device-width">' in PAGE


def test_every_link_leads_somewhere_and_no_place_has_two_names() -> None:
    assert len(READ.ids) == len(set(READ.ids))
    assert {link[1:] for link in READ.links if link.startswith("#")} <= set(READ.ids)


def test_every_operation_and_every_field_is_there() -> None:
    assert {operation.name for operation in OPERATIONS} <= set(READ.ids)
    for name, schema in document()["components"]["schemas"].items():
        section = PAGE.split(f'<section id="shape-{name}">')[1].split("</section>")[0]
        for member in schema.get("properties", {}):
            assert f"<code>{member}</code>" in section, f"{name}.{member}"


def taken() -> Iterator[tuple[str, dict[str, Any], bool]]:
    for name, schema in document()["components"]["schemas"].items():
        if schema.get("additionalProperties") is False:
            for member, told in schema["properties"].items():
                yield f"{name}.{member}", told, member in schema.get("required", ())


def test_every_field_that_is_taken_tells_meaning_kind_and_bounds() -> None:
    for name, told, required in taken():
        shown = field(name, told, required, SHAPES)
        assert shown.meaning, name
        assert shown.example, name
        assert shown.kinds, name
        plain = not any(kind.to for kind in shown.kinds) and shown.kinds[0].words not in ("true or false", "day")
        free = shown.kinds[0].words in ("object", "list of object") or "parameter" in name.lower()
        assert shown.allowed or free or not plain, name
        measured = any(kind.words == "number" for kind in shown.kinds)
        assert not measured or shown.unit, name


def test_examples_of_answers_keep_the_contract() -> None:
    """Those that were found in answers; their members may have been left out, never be of another kind."""
    shapes = bare_document()["components"]["schemas"]
    count = 0
    for name, members in harvested().items():
        for member, value in members.items():
            told = shapes[name]["properties"][member]
            assert "enum" not in told, f"{name}.{member}"
            jsonschema_rs.validate({**told, "components": {"schemas": shapes}}, value)
            count += 1
    assert count > 150


@pytest.mark.parametrize(
    ("schema", "told"),
    [
        ({"type": "string", "examples": ["a"], "enum": ["b"]}, '"a"'),
        ({"type": ["string", "null"], "enum": [None, "b"]}, '"b"'),
        ({"anyOf": [{"$ref": "#/components/schemas/Box"}, {"type": "null"}]}, '{"b_mm": 47}'),
        ({"type": "array", "items": {"$ref": "#/components/schemas/Loose"}}, '[{"x": true, "y": 2}]'),
        ({"type": "object", "additionalProperties": {"type": "number", "examples": [1.5]}}, '{"…": 1.5}'),
        ({"$ref": "#/components/schemas/Endless"}, ""),
        ({"type": "string", "examples": ["a" * 500]}, ""),
        ({}, ""),
    ],
)
def test_an_example_is_stated_or_put_together(schema: dict[str, Any], told: str) -> None:
    shapes = {
        "Box": {
            "type": "object",
            "required": ["b_mm"],
            "properties": {"b_mm": {"type": "number", "examples": [47]}, "h_mm": {"examples": [97]}},
        },
        "Loose": {"type": "object", "properties": {"x": {"type": "boolean"}, "y": {"examples": [2]}, "z": {"examples": [3]}}},
        "Endless": {"type": "object", "required": ["next"], "properties": {"next": {"$ref": "#/components/schemas/Endless"}}},
    }
    assert example(schema, shapes) == told


def test_a_field_in_words() -> None:
    told = document()["components"]["schemas"]["LineLoad"]["properties"]["line_kn_per_m"]
    shown = field("line_kn_per_m", told, True, SHAPES)
    assert (shown.unit, shown.allowed, shown.example) == ("kN/m", ("at least 0", "at most 100000"), "0.45")
    assert [kind.words for kind in shown.kinds] == ["number"]


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    with running(workers=1) as server:
        yield server


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with every file the examples read."""
    for operation in OPERATIONS:
        shown = sample(operation)
        if shown.file:
            (tmp_path / shown.file).write_text(shown.content, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def curl(line: str, folder: Path) -> requests.Response:
    """What curl would do with the few words the examples use."""
    program, silent, url, *more = shlex.split(line.replace("\\\n", " "))
    assert (program, silent) == ("curl", "-s")
    given = dict(zip(more[::2], more[1::2], strict=True))
    assert set(given) in (set(), {"-H", "--data-binary"})
    if not given:
        return requests.get(url, timeout=60)
    name, value = given["-H"].split(": ")
    return requests.post(url, data=(folder / given["--data-binary"].removeprefix("@")).read_bytes(), headers={name: value}, timeout=60)


@pytest.mark.parametrize("operation", OPERATIONS, ids=lambda operation: operation.name)
def test_the_call_with_curl_is_answered(operation: Operation, address: str, folder: Path) -> None:
    shown = sample(operation)
    answer = curl(shown.curl.replace(ADDRESS, address), folder)
    assert answer.status_code == 200, answer.text
    assert answer.headers["Content-Type"].split(";")[0] in operation.answers


@pytest.mark.parametrize("operation", OPERATIONS, ids=lambda operation: operation.name)
@pytest.mark.usefixtures("folder")
def test_the_call_from_python_runs(operation: Operation, address: str, capsys: pytest.CaptureFixture[str]) -> None:
    exec(compile(sample(operation).python.replace(ADDRESS, address), operation.name, "exec"), {})
    assert capsys.readouterr().out.strip()
