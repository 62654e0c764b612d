"""Sizings over HTTP: the cheapest that passes, proven where every cheaper choice was checked, and nothing open taken for a pass."""

from __future__ import annotations

import copy
import json
from typing import Any

import pytest
from flask.testing import FlaskClient
from pages import Page
from patience import PATIENT

from service.deadline import Deadline, DeadlinePassed
from service.demo import read_design
from service.http import create_app
from service.limits import LIMITS
from service.openapi.examples import SMALL_ROOF, SMALL_SHAPE, SMALL_SIZING
from service.sizings import size_document

JOIST = json.loads(read_design("solid-joist"))
Document = dict[str, Any]


def stock(*sizes: tuple[int, int], grade: str = "C24", **more: Any) -> list[Document]:
    return [{"id": f"{b}x{h} {grade}", "b_mm": b, "h_mm": h, "grade": grade, **more} for b, h in sizes]


SIZES = [(47, 97), (47, 147), (47, 170), (47, 195), (47, 220), (63, 220)]
FLOOR: Document = {"design": JOIST, "stock": stock(*SIZES), "vary": [{"name": "joist", "role": "joist"}]}


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return create_app(PATIENT).test_client()


@pytest.fixture(scope="module")
def sized(client):
    def run(request: Document, status: int = 200) -> Document:
        answer = client.post("/v1/sizings", json=request)
        assert answer.status_code == status, answer.get_json()
        return answer.get_json()

    return run


@pytest.fixture(scope="module")
def floor(sized) -> Document:
    return sized(FLOOR)


def checked(client: FlaskClient, design: Document) -> Document:
    return client.post("/v1/checks", json=design).get_json()


def with_section(design: Document, b: int, h: int) -> Document:
    changed = copy.deepcopy(design)
    holders = changed["shape"]["pieces"].values() if changed.get("shape") else changed["members"]
    for holder in holders:
        holder["section"] = {"b_mm": b, "h_mm": h}
    return changed


def test_the_best_is_what_checking_every_size_by_hand_finds(client, floor):
    verdicts = {(b, h): checked(client, with_section(JOIST, b, h))["verdict"] for b, h in SIZES}
    passing = [size for size in SIZES if verdicts[size] == "pass"]
    assert 0 < len(passing) < len(SIZES)
    cheapest = min(passing, key=lambda size: size[0] * size[1])
    assert floor["outcome"] == "found"
    assert floor["proven"]
    assert (floor["best"]["groups"][0]["b_mm"], floor["best"]["groups"][0]["h_mm"]) == cheapest
    for row in floor["tried"]:
        made = row["groups"][0]
        assert row["verdict"] == verdicts[made["b_mm"], made["h_mm"]]
        assert row["passes"] == (row["stopped_by"] is None)


def test_the_report_is_that_of_the_design_it_gives(client, floor):
    assert floor["report"] == checked(client, floor["design"])
    assert floor["report"]["verdict"] == "pass"


def test_costs_are_volumes_or_prices(sized, floor):
    best = floor["best"]
    length = sum(row["length_m"] for row in floor["report"]["quantities"]["timber"])
    made = best["groups"][0]
    assert best["cost"] == pytest.approx(length * made["b_mm"] * made["h_mm"] / 1e6, rel=1e-8)
    assert floor["cost"] == {"by": "volume", "unit": "m³", "of": "one component", "unpriced": []}
    dear = [{**each, "cost_per_m": 1.0 if each["h_mm"] == 220 else 9.0} for each in FLOOR["stock"]]
    priced = sized({**FLOOR, "stock": dear, "component_cost": 5})
    assert priced["best"]["groups"][0]["h_mm"] == 220
    assert priced["best"]["cost"] == pytest.approx(5.0 + length, rel=1e-8)
    assert priced["cost"]["by"] == "price"


def test_nothing_passes_is_an_answer_with_what_comes_nearest(sized):
    told = sized({**FLOOR, "stock": stock((47, 97), (47, 120))})
    assert (told["outcome"], told["proven"], told["best"], told["design"]) == ("nothing-passes", True, None, None)
    assert told["nearest"]["groups"][0]["h_mm"] == 120
    assert told["report"]["verdict"] == "fail"
    assert told["nearest"]["stopped_by"]["rule"].count("/") == 1
    assert told["nearest"]["stopping"] >= 1


def test_open_is_no_pass_unless_it_is_allowed_and_then_it_is_said(sized):
    request = {"design": SMALL_SHAPE, "stock": stock((47, 147)), "vary": [{"name": "rafters", "role": "rafter"}]}
    strict = sized(request)
    assert strict["tried"][0]["verdict"] == "open"
    assert strict["outcome"] == "nothing-passes"
    assert strict["nearest"]["stopped_by"]["kind"] == "open"
    lenient = sized({**request, "allow": ["open"]})
    assert lenient["outcome"] == "found"
    assert lenient["best"]["verdict"] == "open"
    assert any("not shown to hold" in each for each in lenient["cautions"])


def test_a_failing_choice_never_passes_whatever_is_allowed(sized):
    told = sized({**FLOOR, "stock": stock((47, 97)), "allow": ["open", "review"]})
    assert told["outcome"] == "nothing-passes"


def test_a_waiver_for_the_timber_as_drawn_accepts_no_lesser_timber(sized):
    """Waived without a bound, a joist of little more than half the depth would be the cheapest that passes; up to a utilisation it is the waiver's own word."""
    request = {**FLOOR, "stock": stock((47, 120)), "allow": ["open"]}
    fails = [finding for finding in sized(request)["report"]["findings"] if finding["kind"] == "fail" and finding["level"] == "error"]
    waivers = [
        {"rule": each["rule"], "element": {"kind": "member", "id": each["where"]["member"]} if each["where"]["member"] else {"kind": "design", "id": JOIST["reference"]},
         "part": each["part"], "reason": "seen on site", "approved_by": "I. Ashby", "expires": "2999-01-01"}
        for each in fails
    ]  # fmt: skip
    told = sized({**request, "design": {**JOIST, "waivers": waivers}})
    assert told["outcome"] == "nothing-passes"
    assert told["nearest"]["stopped_by"]["kind"] == "fail"
    bound = sized({**request, "design": {**JOIST, "waivers": [{**each, "up_to_utilisation": 9.0} for each in waivers]}})
    assert bound["outcome"] == "found"


def test_spacings_are_weighed_by_the_metre_of_building(client, sized):
    groups = [{"name": "rafters", "role": "rafter"}]
    told = sized({"design": SMALL_SHAPE, "stock": stock((35, 97), (47, 147)), "vary": groups, "spacings_mm": [300, 600], "allow": ["open"]})
    best = told["best"]
    assert told["cost"] == {"by": "volume", "unit": "m³/m", "of": "a metre of building", "unpriced": []}
    assert told["proven"]
    assert {row["spacing_mm"] for row in told["tried"]} == {300, 600}
    assert all(not row["passes"] for row in told["tried"] if row["cost"] < best["cost"])
    assert told["design"]["spacing_mm"] == best["spacing_mm"]
    assert checked(client, told["design"]) == told["report"]
    timber = sum(row["length_m"] * row["b_mm"] * row["h_mm"] / 1e6 for row in told["report"]["quantities"]["timber"])
    assert best["cost"] == pytest.approx(timber * 1000.0 / best["spacing_mm"], rel=1e-8)


def test_a_choice_that_cannot_be_built_is_listed_and_does_not_refuse_the_others(sized):
    notched = copy.deepcopy(SMALL_ROOF)
    notched["members"][2]["notches"] = [{"at_mm": 1000, "depth_mm": 60, "face": "lower"}]
    told = sized({"design": notched, "stock": stock((47, 50), (47, 147)), "vary": [{"name": "tie", "members": ["T"]}]})
    first = told["tried"][0]
    assert first["verdict"] is None
    assert (first["stopped_by"]["kind"], first["stopped_by"]["rule"]) == ("refused", None)
    assert told["tried"][1]["verdict"] is not None


def test_plies_may_vary(sized):
    told = sized({**FLOOR, "stock": stock((47, 195)), "vary": [{"name": "joist", "role": "joist", "plies": [1, 2]}]})
    assert next(row["groups"][0]["plies"] for row in told["tried"]) == 1
    assert told["tried"][0]["cost"] > 0.0


def faults(answer: Document) -> list[tuple[str, str]]:
    return [(each["pointer"], each["code"]) for each in answer["errors"]]


GROUP = {"name": "joist", "role": "joist"}
TWO = [{"id": "a", "b_mm": 47, "h_mm": 195, "grade": "C24"}, {"id": "b", "b_mm": 47, "h_mm": 220, "grade": "C24"}]


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({"stock": stock((47, 195), grade="Oak")}, [("/stock/0/grade", "unknown-grade")]),
        ({"stock": [*TWO, {**TWO[0], "grade": "C99"}]}, [("/stock/2/id", "duplicate-id")]),
        ({"stock": []}, [("/stock", "wrong-count")]),
        ({"stock": [{**TWO[0], "cost_per_m": 2}, TWO[1]]}, [("/stock/1/cost_per_m", "required")]),
        ({"vary": [{"name": "x", "role": "purlin"}]}, [("/vary/0/role", "dangling-id")]),
        ({"vary": [{"name": "x"}]}, [("/vary/0", "unclear-form")]),
        ({"vary": [{**GROUP, "stock": ["z"]}]}, [("/vary/0/stock/0", "dangling-id")]),
        ({"vary": [GROUP, {**GROUP, "name": "again"}]}, [("/vary/1", "contradiction")]),
        ({"vary": [GROUP, {"name": "joist", "role": "purlin"}]}, [("/vary/1/name", "duplicate-id"), ("/vary/1/role", "dangling-id")]),
        ({"most_checks": LIMITS.sizing_checks + 1}, [("/most_checks", "out-of-range")]),
        ({"design": {**JOIST, "count": 0}}, [("/design/count", "out-of-range")]),
        ({"design": {**SMALL_SHAPE, "load_width_mm": 500}, "vary": [{"name": "x", "role": "rafter"}], "spacings_mm": [400]}, [("/spacings_mm", "contradiction")]),
        ({"design": SMALL_ROOF, "spacings_mm": [400], "vary": [{"name": "x", "members": ["R9"]}]},
         [("/spacings_mm", "contradiction"), ("/vary/0/members/0", "dangling-id")]),
        ({"design": SMALL_SHAPE, "vary": [{"name": "x", "members": ["R1"]}]}, [("/vary/0/members", "contradiction")]),
        ({"design": None}, [("/design", "required")]),
        ({"design": []}, [("/design", "wrong-type")]),
        ({"stock": [{**TWO[0], "price": 1}]}, [("/stock/0/price", "unknown-field")]),
    ],
)  # fmt: skip
def test_every_fault_is_told_where_the_request_says_it(sized, change, expected):
    answer = sized({**FLOOR, **change}, status=422)
    assert answer["type"] == "/problems/sizing-refused"
    assert faults(answer) == expected


def test_more_choices_than_are_looked_at_are_refused(sized):
    many = [{"id": str(h), "b_mm": 47, "h_mm": h, "grade": "C24"} for h in range(100, 150)]
    groups = [{"name": str(index), "members": [each["id"]]} for index, each in enumerate(SMALL_ROOF["members"])]
    answer = sized({"design": SMALL_ROOF, "stock": many, "vary": groups}, status=422)
    assert faults(answer) == [("/vary", "wrong-count")]
    assert answer["errors"][0]["found"] == 50**3


def test_the_same_request_gives_the_same_bytes(client, floor):
    again = client.post("/v1/sizings", json=FLOOR)
    assert again.get_json() == floor
    assert client.post("/v1/sizings", json=FLOOR).data == again.data


def test_the_deadline_ends_the_whole(client):
    here = client.application.extensions["birdsmouth"]
    with pytest.raises(DeadlinePassed):
        size_document(json.dumps(FLOOR).encode(), here.library, today=here.today(), deadline=Deadline.after(0.0))


@pytest.mark.parametrize("media_type", ["text/plain", "text/markdown", "text/html"])
def test_people_can_read_it(client, media_type):
    request = copy.deepcopy(SMALL_SIZING[2])
    request["vary"][0]["name"] = "<b>rafters|</b>"
    answer = client.post("/v1/sizings", json=request, headers={"Accept": media_type})
    assert answer.status_code == 200
    assert answer.mimetype == media_type
    text = answer.get_data(as_text=True)
    assert "38 x 120 C24" in " ".join(text.split()).replace("\\", "")
    assert "not shown to hold" in " ".join(text.split())
    if media_type == "text/html":
        page = Page(text)
        assert page.open == []
        assert "style-src 'sha256-" in answer.headers["Content-Security-Policy"]
    if media_type != "text/plain":
        assert "<b>" not in text
    else:
        assert max(map(len, text.splitlines())) <= 100
