"""Checking on a running service, over HTTP."""

from __future__ import annotations

import os
from typing import Any

import requests

from rules.subject.faults import Fault
from service.cli.trouble import Refused, Trouble

CONNECT_S, ANSWER_S = 10, 120
REFUSALS = (400, 413, 422)
JOB, REPORT, COMPARISON, SIZING, DESIGN = (
    "birdsmouth-job-report-1",
    "birdsmouth-report-1",
    "birdsmouth-comparison-1",
    "birdsmouth-sizing-1",
    "birdsmouth-design-1",
)


class Remote:
    """A birdsmouth service at an address such as http://127.0.0.1:8000; BIRDSMOUTH_TOKEN is sent where it asks for one. units: of
    what people read."""

    def __init__(self, address: str, units: str = "si") -> None:
        self._address, self._session = address.rstrip("/"), requests.Session()
        self._query = "" if units == "si" else f"?units={units}"
        token = os.environ.get("BIRDSMOUTH_TOKEN", "").strip()
        self._session.headers.update({"Authorization": f"Bearer {token}"} if token else {})

    def check(self, body: bytes) -> bytes:
        """The report of one design, the bytes as answered; Refused when it cannot be checked, Trouble when the service cannot be used."""
        return self._asked(f"/v1/checks{self._query}", body, REPORT)

    def compare(self, body: bytes) -> bytes:
        """A comparison, the bytes as answered; Refused when it cannot be made, Trouble when the service cannot be used."""
        return self._asked(f"/v1/comparisons{self._query}", body, COMPARISON)

    def size(self, body: bytes) -> bytes:
        """A sizing, the bytes as answered; Refused when it cannot be made, Trouble when the service cannot be used."""
        return self._asked(f"/v1/sizings{self._query}", body, SIZING)

    def job(self, body: bytes) -> bytes:
        """A job's answer, the bytes as answered; Refused when it cannot be taken, Trouble when the service cannot be used."""
        return self._asked(f"/v1/jobs{self._query}", body, JOB)

    def expand(self, body: bytes) -> bytes:
        """A design written out, the bytes as answered; refused as a check is."""
        return self._asked("/v1/expansions", body, DESIGN)

    def _asked(self, path: str, body: bytes, wanted: str) -> bytes:
        answer = self._post(path, body)
        said = _values(answer)
        if answer.status_code == 200:
            if said.get("format") != wanted:
                raise Trouble(f"{self._address} answered something that is no {wanted.split('-')[1]}; nothing may be concluded from it.")
            return answer.content
        if answer.status_code in REFUSALS and said.get("errors"):
            raise Refused(map(_fault, said["errors"]), more=int(said.get("more") or 0))
        reason = said.get("detail") or said.get("title") or "no reason given"
        raise Trouble(f"{self._address} answered {answer.status_code}: {reason}")

    def _post(self, path: str, body: bytes) -> requests.Response:
        headers = {"Content-Type": "application/json", "Accept": "application/json"}
        address, limits = self._address + path, (CONNECT_S, ANSWER_S)
        try:
            return self._session.post(address, data=body, headers=headers, timeout=limits, allow_redirects=False)
        except requests.RequestException as error:
            raise Trouble(f"no answer from {self._address}: {_in_short(error)}. Is the service running there?") from None


def _in_short(error: requests.RequestException) -> str:
    """What the innermost cause says; the library's own words wrap it in addresses of objects."""
    cause: BaseException = error
    while (inner := cause.__cause__ or cause.__context__) is not None:
        cause = inner
    return str(cause.strerror if isinstance(cause, OSError) and cause.strerror else cause)


def _values(answer: requests.Response) -> dict[str, Any]:
    try:
        values = answer.json()
    except requests.JSONDecodeError:
        return {}
    return values if isinstance(values, dict) else {}


def _fault(error: dict[str, Any]) -> Fault:
    text = {name: str(error.get(name) or "") for name in ("pointer", "code", "detail", "hint")}
    return Fault(**text, found=error.get("found"), allowed=error.get("allowed"))
