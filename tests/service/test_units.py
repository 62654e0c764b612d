"""Words in inches, feet and pounds: exact factors, every number told apart as before, and numbers of JSON left alone."""

from __future__ import annotations

import json
import re
from fractions import Fraction
from typing import Any

import pytest
from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st
from patience import PATIENT

from service.cli import main
from service.demo import read_design
from service.formats import pdf
from service.http import create_app
from service.openapi.examples import SMALL_COMPARISON
from service.units import UNITS, in_us

DESIGN = json.loads(read_design("two-reasons"))
INCH, FOOT = Fraction(254, 10), Fraction(3048, 10)
POUND = Fraction(45359237, 100000000)
FORCE = POUND * Fraction(980665, 100000)
EXACT = {
    "mm": 1 / INCH, "m": 1000 / FOOT, "mm²": 1 / INCH**2, "mm³": 1 / INCH**3, "mm⁴": 1 / INCH**4, "N": 1 / FORCE, "kN": 1000 / FORCE,
    "N·mm": 1 / (FORCE * INCH), "kNm": 10**6 / (FORCE * FOOT), "N/mm²": INCH**2 / FORCE, "N/mm": INCH / FORCE, "kN/m": FOOT / FORCE,
    "kN/m²": FOOT**2 / 1000 / FORCE, "kg": 1 / POUND, "kg/m³": (FOOT / 1000) ** 3 / POUND,
}  # fmt: skip
"""In fractions, by the definitions of inch, foot, pound and standard gravity."""
SI = re.compile(r"(?<![\w.,/])(?<!\d x )\d+(?:\.\d+)? (?:kNm|kN/m²|kN/m|kN|N/mm²|N/mm|mm²|mm³|mm⁴|mm|N|kg)(?![\w/²³⁴·^])")


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return create_app(PATIENT).test_client()


def test_every_factor_is_exact_to_the_last_digit_a_number_has():
    assert UNITS.keys() == EXACT.keys()
    for unit, (_, factor) in UNITS.items():
        assert factor == pytest.approx(float(EXACT[unit]), rel=4e-16), unit


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ("it moves 25.4 mm where 12.7 mm is the limit", "it moves 1.000 in where 0.5000 in is the limit"),
        ("a push of 3.22 kN", "a push of 723.9 lb"),
        ("1000 psi is 6.895 N/mm²", "1000 psi is 1000.0 psi"),
        ("a section of 35 × 97 mm", "a section of 1.38 × 3.82 in"),
        ("-2.10 kNm at 0 mm", "-1549 lb·ft at 0 in"),
        ("a gap of 2–3 mm, 2 to 3 mm or 25.4 mm", "a gap of 0.0787–0.118 in, 0.0787 to 0.118 in or 1.000 in"),
        ("held every 345 mm, 2 m apart", "held every 13.58 in, 6.56 ft apart"),
        ("0.60 kN/m² on the slope", "12.5 lb/ft² on the slope"),
        ("spread over\n      600 mm", "spread over\n      23.62 in"),
        ("600\n      mm", "23.62\n      in"),
        ("span_mm 3 and 22 m/s, C24, TC1", "span_mm 3 and 22 m/s, C24, TC1"),
        ("B1 mm2 EN 1995-1-1 mm", "B1 mm2 EN 1995-1-1 mm"),
        ("18mm in a style", "18mm in a style"),
        ("two 3.35 x 65 mm nails, 25.4 mm deep", "two 3.35 x 65 mm nails, 1.000 in deep"),
        ("two 3.35x65 mm nails", "two 3.35x65 mm nails"),
    ],
)
def test_texts(said, told):
    assert in_us(said) == told


@given(st.integers(1, 9999), st.integers(1, 9999), st.sampled_from([1, 10, 100, 1000]), st.sampled_from(sorted(UNITS)))
def test_numbers_that_differ_still_do_and_stay_in_order(one, other, scale, unit):
    def number(text: str) -> float:
        return float(in_us(f"{text} {unit}").split()[0])

    places = len(str(scale)) - 1
    first, second = f"{one / scale:.{places}f}", f"{other / scale:.{places}f}"
    if len(first) == len(second):
        assert (number(first) < number(second)) == (one < other)
    assert number(first) == pytest.approx(float(first) * float(EXACT[unit]), rel=6e-3)


def answer(client: FlaskClient, path: str, document: Any, accept: str = "application/json") -> Any:
    told = client.post(path, json=document, headers={"Accept": accept})
    assert told.status_code == 200, told.text
    return told


def test_json_differs_in_messages_and_receipt_alone(client):
    metric, imperial = (answer(client, f"/v1/checks?include=all{more}", DESIGN).get_json() for more in ("", "&units=us"))
    assert imperial["receipt"]["options"] == metric["receipt"]["options"] | {"units": "us"}
    changed = 0
    for one, other in zip(metric["findings"], imperial["findings"], strict=True):
        assert not SI.search(other["message"]), other["message"]
        changed += one["message"] != other["message"]
        assert one | {"message": ""} == other | {"message": ""}
    assert changed > 50
    assert metric | {"findings": [], "receipt": {}} == imperial | {"findings": [], "receipt": {}}


@pytest.mark.parametrize("accept", ["text/plain", "text/markdown", "text/html"])
def test_people_read_no_metric_quantity(client, accept):
    page = answer(client, "/v1/checks?units=us", DESIGN, accept).get_data(as_text=True)
    assert SI.findall(page) == []
    assert re.search(r"\d in\b", page)
    assert "units" not in answer(client, "/v1/checks", DESIGN, accept).get_data(as_text=True).partition("Receipt")[2]


def test_the_pdf_is_given_no_metric_quantity(client):
    report = answer(client, "/v1/checks?units=us", DESIGN, "application/json").get_json()
    given = pdf._given(((report, None),))
    assert SI.findall(given) == []
    assert " lb" in given
    plain = answer(client, "/v1/checks", DESIGN, "application/json").get_json()
    assert SI.findall(pdf._given(((plain, None),)))


def test_a_comparison_takes_them_too(client):
    imperial = answer(client, "/v1/comparisons?units=us&include=all", SMALL_COMPARISON[2]).get_json()
    assert imperial["receipt"]["options"] == {"include": "all", "units": "us"}
    assert not [cell for row in imperial["rows"] for cell in row["cells"] if cell and SI.search(cell["message"])]
    page = answer(client, "/v1/comparisons?units=us", SMALL_COMPARISON[2], "text/html").get_data(as_text=True)
    assert SI.findall(page) == []


def test_the_command_line_takes_them(tmp_path, capsys):
    file = tmp_path / "design.json"
    file.write_text(json.dumps(DESIGN))
    assert main(["check", str(file), "--units", "us"]) == 1
    text = capsys.readouterr().out
    assert SI.findall(text) == []
    assert main(["check", str(file), "--units", "us", "--format", "json"]) == 1
    assert json.loads(capsys.readouterr().out)["receipt"]["options"]["units"] == "us"


def test_an_unknown_unit_is_refused(client):
    told = client.post("/v1/checks?units=imperial", json=DESIGN)
    assert told.status_code == 400
    assert told.get_json()["errors"][0]["allowed"] == ["si", "us"]
