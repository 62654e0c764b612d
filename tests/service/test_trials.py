"""POST /v1/trials: a pack handed over is linted, worked and tried on designs; nothing of it stays, and strangers are kept out."""

import copy
import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient
from patience import PATIENT

from rules.library.loading import Library, load_library
from service.deadline import DeadlinePassed
from service.engine import shipped
from service.http import create_app
from service.limits import LIMITS
from service.openapi.examples import SMALL_TRIAL
from service.settings import Settings
from service.tokens import Token, digest_of

RULE = "declared/steep-enough.yaml"
TOKEN = "a-token-of-twenty-odd"


@pytest.fixture(scope="module")
def library() -> Library:
    return load_library()


@pytest.fixture(scope="module")
def real(library: Library) -> FlaskClient:
    return create_app(PATIENT, library).test_client()


@pytest.fixture
def trial() -> dict[str, Any]:
    return copy.deepcopy(SMALL_TRIAL[2])


def test_a_sound_pack_and_its_findings(real: FlaskClient, trial: dict[str, Any]) -> None:
    told = real.post("/v1/trials", json=trial).get_json()
    assert (told["pack"], told["faults"], told["advice"]) == ("boathouse-practice==1@1.0.0", [], [])
    assert [(rule["rule"], rule["sound"], rule["unnoticed"]) for rule in told["rules"]] == [("steep-enough", True, [])]
    (design,) = told["designs"]
    assert (design["status"], design["reference"], design["chosen"]) == (200, "BOATHOUSE-R1", True)
    assert [(each["rule"], each["kind"]) for each in design["findings"]] == [("boathouse-practice/steep-enough", "pass")]


def test_faults_are_an_answer_with_their_places(real: FlaskClient, trial: dict[str, Any]) -> None:
    trial["files"][RULE] = trial["files"][RULE].replace("unit: deg", "unit: mm")
    answer = real.post("/v1/trials", json=trial)
    assert answer.status_code == 200
    told = answer.get_json()
    assert {(each["file"], each["line"]) for each in told["faults"]} == {(RULE, 10)}
    assert (told["rules"], told["designs"]) == ([], [])


def test_a_pack_that_holds_elsewhere_is_tried_all_the_same(real: FlaskClient, trial: dict[str, Any]) -> None:
    trial["files"]["pack.yaml"] += "regions: [FR]\n"
    (design,) = real.post("/v1/trials", json=trial).get_json()["designs"]
    assert (design["chosen"], len(design["findings"])) == (False, 1)


def test_a_design_that_cannot_be_checked_spoils_no_other(real: FlaskClient, trial: dict[str, Any]) -> None:
    trial["designs"].insert(0, {"format": "birdsmouth-design-1"})
    told = real.post("/v1/trials", json=trial).get_json()
    assert [each["status"] for each in told["designs"]] == [422, 200]
    assert told["designs"][0]["problem"]["type"] == "/problems/design-refused"


def test_a_deadline_that_passes_at_a_design_ends_the_whole_trial(library: Library, trial: dict[str, Any]) -> None:
    """Not that design alone, with an answer beside it."""

    def late(*_given: Any, **_named: Any) -> Any:
        raise DeadlinePassed("the deadline has passed")

    client = create_app(PATIENT, library, engine=replace(shipped(), check=late)).test_client()
    answer = client.post("/v1/trials", json=trial)
    assert (answer.status_code, answer.get_json()["type"]) == (503, "/problems/too-slow")


def test_python_is_refused_out_loud(real: FlaskClient, trial: dict[str, Any]) -> None:
    trial["files"]["formulas/x.py"] = "raise SystemExit"
    assert "holds no Python" in real.post("/v1/trials", json=trial).get_json()["faults"][0]["message"]


def test_nothing_is_kept(
    real: FlaskClient, trial: dict[str, Any], library: Library, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    before = real.get("/v1/packs").data
    real.post("/v1/trials", json=trial)
    assert real.get("/v1/packs").data == before
    assert not library.holds("boathouse-practice")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("spoil", "pointer", "code"),
    [
        (lambda trial: trial.pop("files"), "/files", "wrong-length"),
        (lambda trial: trial.update(files={}), "/files", "wrong-length"),
        (lambda trial: trial.update(files={"pack.yaml": "x" * (LIMITS.trial_characters + 1)}), "/files", "wrong-length"),
        (lambda trial: trial.update(files={"../pack.yaml": "x"}), "/files/..~1pack.yaml", "wrong-form"),
        (lambda trial: trial.update(files={"pack.yaml": 3}), "/files/pack.yaml", "wrong-type"),
        (lambda trial: trial.update(designs=[{}] * (LIMITS.trial_designs + 1)), "/designs", "wrong-count"),
        (lambda trial: trial.update(designs=[3]), "/designs/0", "wrong-type"),
        (lambda trial: trial.update(store=True), "/store", "unknown-field"),
    ],
)
def test_what_is_no_trial(real: FlaskClient, trial: dict[str, Any], spoil: Any, pointer: str, code: str) -> None:
    spoil(trial)
    answer = real.post("/v1/trials", json=trial)
    assert answer.status_code == 422, answer.text
    (error,) = answer.get_json()["errors"]
    assert (answer.get_json()["type"], error["pointer"], error["code"]) == ("/problems/trial-refused", pointer, code)


class TestWhoMay:
    """This machine, or whoever has the token."""

    @pytest.fixture
    def guarded(self, library: Library) -> FlaskClient:
        return create_app(Settings(tokens=(Token("mill", digest_of(TOKEN)),)), library).test_client()

    @pytest.mark.parametrize("peer", ["127.0.0.1", "127.1.2.3", "::1"])
    def test_this_machine_may(self, real: FlaskClient, trial: dict[str, Any], peer: str) -> None:
        assert real.post("/v1/trials", json=trial, environ_base={"REMOTE_ADDR": peer}).status_code == 200

    @pytest.mark.parametrize("peer", ["192.0.2.7", "2001:db8::1", "", "unix:"])
    def test_others_may_not(self, real: FlaskClient, trial: dict[str, Any], peer: str) -> None:
        answer = real.post("/v1/trials", json=trial, environ_base={"REMOTE_ADDR": peer})
        assert (answer.status_code, answer.get_json()["type"]) == (403, "/problems/not-allowed")

    @pytest.mark.parametrize("header", ["Forwarded", "X-Forwarded-For", "X-Real-IP", "Via", "Origin"])
    def test_nobody_may_by_way_of_a_gateway_or_a_page(self, real: FlaskClient, trial: dict[str, Any], header: str) -> None:
        assert real.post("/v1/trials", json=trial, headers={header: "x"}).status_code == 403

    def test_a_token_opens_it_to_others(self, guarded: FlaskClient, trial: dict[str, Any]) -> None:
        sent = {"json": trial, "environ_base": {"REMOTE_ADDR": "192.0.2.7"}}
        assert guarded.post("/v1/trials", headers={"Authorization": f"Bearer {TOKEN}"}, **sent).status_code == 200
        assert guarded.post("/v1/trials", headers={"Authorization": f"Bearer {TOKEN}x"}, **sent).status_code == 401

    def test_where_all_are_let_in_a_stranger_still_needs_a_token_for_this(self, library: Library, trial: dict[str, Any]) -> None:
        client = create_app(Settings(open_to_all=True), library).test_client()
        assert client.post("/v1/trials", json=trial, environ_base={"REMOTE_ADDR": "192.0.2.7"}).status_code == 403
        assert client.post("/v1/trials", json=trial).status_code == 200

    def test_a_wrong_token_is_wrong_here_too(self, real: FlaskClient, trial: dict[str, Any]) -> None:
        assert real.post("/v1/trials", json=trial, headers={"Authorization": "Bearer x"}).status_code == 403


def test_mutants_are_bounded(real: FlaskClient, trial: dict[str, Any]) -> None:
    long = " || ".join(["design.pitch_deg == 91.0"] * 20)
    for k in range(30):
        text = (
            trial["files"][RULE]
            .replace("id: steep-enough", f"id: steep-{k}")
            .replace("when: design.is_roof", f"when: design.is_roof || {long}")
        )
        trial["files"][f"declared/steep-{k}.yaml"] = text
    told = real.post("/v1/trials", json=trial).get_json()
    assert told["faults"] == []
    assert sum(rule["mutants"] for rule in told["rules"]) == LIMITS.trial_mutants


@pytest.mark.parametrize("name", ["pack", "values", "materials", "declared", "clauses", "cases"])
def test_schemas_are_served(real: FlaskClient, name: str) -> None:
    answer = real.get(f"/v1/schemas/{name}")
    assert answer.content_type == "application/schema+json"
    assert json.loads(answer.data)["additionalProperties" if name in ("pack", "materials", "declared") else "items"] is not None
    assert real.get(f"/v1/schemas/{name}", headers={"Accept": "application/json"}).content_type == "application/json"


def test_an_unknown_schema(real: FlaskClient) -> None:
    answer = real.get("/v1/schemas/lead")
    assert (answer.status_code, answer.get_json()["errors"][0]["allowed"]) == (
        404,
        ["pack", "values", "materials", "declared", "clauses", "cases"],
    )
