"""Which format a report is answered in, and what the query says of its source."""

import json
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient
from patience import PATIENT

from rules.library.loading import load_library
from service.formats import builder
from service.formats.dressing import FORMATS
from service.formats.locating import located
from service.http import create_app
from service.openapi.examples import SMALL_ROOF

OFFERED = ["application/json", "text/plain", *(form.media_type for form in FORMATS.values() if form.media_type)]


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return create_app(PATIENT, load_library()).test_client()


def asked(client: FlaskClient, accept: str, query: str = "") -> Any:
    return client.post(f"/v1/checks{query}", json=SMALL_ROOF, headers={"Accept": accept})


@pytest.mark.parametrize(
    ("accept", "given"),
    [
        ("application/sarif+json", "application/sarif+json"),
        ("application/json; charset=utf-8", "application/json"),
        ("text/html;level=1;q=0.2, application/sarif+json;version=2.1.0;q=0.7", "application/sarif+json"),
        ('text/markdown;variant="a,b";q=0.5, text/plain;q=0.4', "text/markdown"),
        ("application/xml", "application/xml"),
        ("text/markdown", "text/markdown"),
        ("text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8", "text/html"),
        ("application/json;q=0.5, text/markdown;q=0.6", "text/markdown"),
        ("text/html;q=0, */*;q=0.1", "application/json"),
        ("text/*;q=0.9, application/json;q=0.1", "text/plain"),
        ("text/html;q=0.3, application/sarif+json;q=0.31, text/plain;q=0.2", "application/sarif+json"),
    ],
)
def test_the_format_liked_best_is_given(client: FlaskClient, accept: str, given: str) -> None:
    answer = asked(client, accept)
    assert (answer.status_code, answer.mimetype) == (200, given), answer.text
    assert "Accept" in answer.headers["Vary"]


def test_what_cannot_be_given_is_refused_with_the_list(client: FlaskClient) -> None:
    answer = asked(client, "application/postscript;q=0.9, image/png")
    assert (answer.status_code, answer.mimetype) == (406, "application/problem+json")
    assert answer.get_json()["errors"][0]["allowed"] == OFFERED


@pytest.mark.parametrize("form", [form for form in FORMATS.values() if form.media_type], ids=lambda form: form.name)
def test_every_format_is_made_of_the_json_report(client: FlaskClient, form: Any) -> None:
    report = json.loads(asked(client, "application/json").data)
    assert asked(client, form.media_type, "?source=roofs/r1.json").data == form.render(report, "roofs/r1.json")


def test_the_source_is_named_in_what_points_into_files(client: FlaskClient) -> None:
    run = json.loads(asked(client, "application/sarif+json", "?source=roofs/r1.json").data)["runs"][0]
    uris = {result["locations"][0]["physicalLocation"]["artifactLocation"]["uri"] for result in run["results"]}
    assert uris == {"roofs/r1.json"}


def test_the_json_report_knows_no_file(client: FlaskClient) -> None:
    assert asked(client, "application/json", "?source=roofs/r1.json").data == asked(client, "application/json").data


@pytest.mark.parametrize("source", ["/etc/passwd", "../x.json", "a/../b", "C:/x", "a\\b", "x\ny", "", " a", ".", "a/..", "x" * 301])
def test_a_source_that_is_no_path_below_the_root_is_refused(client: FlaskClient, source: str) -> None:
    answer = client.post("/v1/checks", json=SMALL_ROOF, query_string={"source": source})
    assert (answer.status_code, answer.get_json()["type"]) == (400, "/problems/bad-query")
    assert answer.get_json()["errors"][0]["pointer"] == "/source"


def test_a_page_may_do_nothing_but_use_its_style(client: FlaskClient) -> None:
    policy = asked(client, "text/html").headers["Content-Security-Policy"]
    assert policy.startswith("default-src 'none'; style-src 'sha256-")


@pytest.mark.parametrize("name", FORMATS)
def test_the_command_line_gives_the_same_file(
    client: FlaskClient, name: str, tmp_path: Path, capfdbinary: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """But for lines: the command has the design's text at hand, and formats that point into files use it."""
    from service.cli import main

    monkeypatch.chdir(tmp_path)
    text = json.dumps(SMALL_ROOF)
    Path("roof.json").write_text(text, encoding="utf-8")
    main(["check", "roof.json", "--format", name])
    report = located(json.loads(asked(client, "application/json").data), text)
    assert capfdbinary.readouterr().out == FORMATS[name].render(report, "roof.json")


def test_several_files_make_one_file_of_a_pipelines_format(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    from service.cli import main

    monkeypatch.chdir(tmp_path)
    for name in ("a.json", "b.json"):
        Path(name).write_text(json.dumps(SMALL_ROOF), encoding="utf-8")
    main(["check", "a.json", "b.json", "--format", "sarif", "--output", "both.sarif"])
    log = json.loads(Path("both.sarif").read_text(encoding="utf-8"))
    assert [run["automationDetails"]["id"] for run in log["runs"]] == ["birdsmouth/a.json", "birdsmouth/b.json"]
    assert capsys.readouterr().out == ""


@pytest.mark.parametrize("form", builder.FORMS)
def test_the_page_for_the_builder_is_made_of_the_json_report(client: FlaskClient, form: str) -> None:
    media_type = {"html": "text/html", "pdf": "application/pdf", "text": "text/plain"}[form]
    report = json.loads(asked(client, "application/json").data)
    answer = asked(client, media_type, "?for=builder&source=roofs/r1.json")
    assert (answer.status_code, answer.mimetype) == (200, media_type)
    assert answer.data == builder.render_all(((report, "roofs/r1.json"),), form)


def test_the_page_for_the_builder_is_no_format_for_programs(client: FlaskClient) -> None:
    answer = asked(client, "application/json", "?for=builder")
    assert answer.status_code == 406
    assert answer.get_json()["errors"][0]["allowed"] == ["text/html", "application/pdf", "text/plain"]
    assert asked(client, "text/html", "?for=designer").data == asked(client, "text/html").data


@pytest.mark.parametrize("path", ["/v1/comparisons", "/v1/jobs", "/v1/sizings"])
def test_only_a_check_is_dressed_for_somebody(client: FlaskClient, path: str) -> None:
    answer = client.post(f"{path}?for=builder", json={})
    assert (answer.status_code, answer.get_json()["errors"][0]["pointer"]) == (400, "/for")
