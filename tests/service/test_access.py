"""Who is let in: with tokens, whoever sends one; without, programs on this machine; everybody only where the operator says so."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from service.cli import main
from service.settings import Settings, SettingsRefused, settings_from
from service.tokens import Token, digest_of, name_of, new_token, read_tokens

Apps = Callable[..., Flask]
STRANGER = {"REMOTE_ADDR": "192.0.2.7"}
MILL, YARD = "bm_mill-token", "bm_yard-token"
TOKENS = (Token("mill", digest_of(MILL)), Token("yard", digest_of(YARD)))
GUARDED = [("POST", "/v1/checks"), ("QUERY", "/v1/checks"), ("POST", "/v1/checks/batch"), ("POST", "/v1/analyses"), ("POST", "/v1/trials"),
           ("GET", "/v1/packs"), ("GET", "/v1/schemas/pack"), ("GET", "/v1/nowhere"), ("GET", "/metrics")]  # fmt: skip
OPEN = ["/", "/healthz", "/version", "/openapi.yaml", "/problems/token-needed"]


@pytest.fixture
def guarded(app: Apps) -> FlaskClient:
    return app(Settings(tokens=TOKENS)).test_client()


@pytest.mark.parametrize(("method", "path"), GUARDED)
@pytest.mark.parametrize(
    "given", [None, "", "Bearer", "Bearer ", "Bearer bm_other", f"Basic {MILL}", MILL, f"Bearer {MILL}x", "Bearer \xe4"]
)
def test_without_a_known_token_nobody_gets_at_designs(guarded: FlaskClient, method: str, path: str, given: str | None) -> None:
    answer = guarded.open(path, method=method, headers={} if given is None else {"Authorization": given})
    assert (answer.status_code, answer.get_json()["type"]) == (401, "/problems/token-needed")
    assert answer.headers["WWW-Authenticate"] == 'Bearer realm="birdsmouth"'
    assert answer.headers["Cache-Control"] == "no-store"


@pytest.mark.parametrize("token", [MILL, YARD])
@pytest.mark.parametrize("scheme", ["Bearer", "bearer", "BEARER"])
def test_each_token_lets_in_from_anywhere(guarded: FlaskClient, roof: dict[str, Any], token: str, scheme: str) -> None:
    answer = guarded.post("/v1/checks", json=roof, headers={"Authorization": f"{scheme} {token}"}, environ_base=STRANGER)
    assert answer.status_code == 200


@pytest.mark.parametrize("path", OPEN)
def test_what_is_for_everybody_asks_for_none(guarded: FlaskClient, app: Apps, path: str) -> None:
    for client in (guarded, app().test_client()):
        assert client.get(path, environ_base=STRANGER).status_code == 200


def test_a_browser_may_ask_beforehand_without_one(guarded: FlaskClient) -> None:
    assert guarded.options("/v1/checks").status_code == 200


@pytest.mark.parametrize("peer", ["192.0.2.7", "2001:db8::1", "", "unix:", "10.0.0.1", "127.0.0.1.example"])
@pytest.mark.parametrize(("method", "path"), GUARDED)
def test_without_tokens_only_this_machine_may(client: FlaskClient, method: str, path: str, peer: str) -> None:
    answer = client.open(path, method=method, environ_base={"REMOTE_ADDR": peer})
    assert (answer.status_code, answer.get_json()["type"]) == (403, "/problems/not-allowed")


@pytest.mark.parametrize("header", ["Forwarded", "X-Forwarded-For", "X-Real-IP", "Via", "X-Forwarded-Host"])
def test_nor_anybody_by_way_of_a_gateway_here(client: FlaskClient, header: str) -> None:
    assert client.get("/v1/packs", headers={header: "x"}).status_code == 403


def test_everybody_may_where_the_operator_says_so(app: Apps, roof: dict[str, Any]) -> None:
    client = app(Settings(open_to_all=True)).test_client()
    headers = {"X-Forwarded-For": "192.0.2.9", "Authorization": "Bearer of-the-gateway"}
    assert client.post("/v1/checks", json=roof, environ_base=STRANGER, headers=headers).status_code == 200


# Tokens and their file


def test_tokens_are_told_apart() -> None:
    assert [name_of(token, TOKENS) for token in (MILL, YARD, "", "x")] == ["mill", "yard", None, None]
    assert len({new_token() for _ in range(100)}) == 100
    assert len(new_token()) > 40


def test_the_command_makes_a_token_the_service_knows(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["token", "estimating-2"]) == 0
    said = capsys.readouterr()
    file = tmp_path / "tokens"
    file.write_text(f"# who may call\n\n{said.out}", encoding="utf-8")
    token = said.err.split()[-1]
    assert token not in said.out
    settings = settings_from({"BIRDSMOUTH_TOKENS": str(file)})
    assert name_of(token, settings.tokens) == "estimating-2"
    assert not settings.open_to_all


def test_off_is_said_and_not_guessed() -> None:
    assert settings_from({"BIRDSMOUTH_TOKENS": "off"}) == Settings(open_to_all=True)
    assert settings_from({"BIRDSMOUTH_TOKENS": ""}) == Settings()


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("", "holds no token"), ("# none\n", "holds no token"), (f"mill {MILL}\n", "line 1"), (f"ok {digest_of('a')}\nmill sha256:12\n", "line 2"),
        (f"a {digest_of('a')}\na {digest_of('b')}\n", "the name a stands twice"), (f"A Mill {digest_of('a')}\n", "line 1"),
    ],
)  # fmt: skip
def test_a_file_that_cannot_be_used_is_refused_without_repeating_it(tmp_path: Path, text: str, fault: str) -> None:
    file = tmp_path / "tokens"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(SettingsRefused, match=fault) as refusal:
        settings_from({"BIRDSMOUTH_TOKENS": str(file)})
    assert MILL not in str(refusal.value)


def test_a_file_that_is_not_there_stops_the_start(tmp_path: Path) -> None:
    with pytest.raises(SettingsRefused, match="cannot be read: No such file"):
        settings_from({"BIRDSMOUTH_TOKENS": str(tmp_path / "none")})


def test_a_file_is_read(tmp_path: Path) -> None:
    (tmp_path / "tokens").write_text("".join(f"{token.name}  {token.digest}  \n" for token in TOKENS), encoding="utf-8")
    assert read_tokens(tmp_path / "tokens") == TOKENS


def test_other_machines_are_let_in_only_with_a_word(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.delenv("BIRDSMOUTH_TOKENS", raising=False)
    started: list[str] = []
    monkeypatch.setattr("os.execv", lambda program, _words: started.append(program))
    assert main(["serve", "--host", "0.0.0.0"]) == 2
    assert "birdsmouth token NAME" in capsys.readouterr().err
    assert started == []
