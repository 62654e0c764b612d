"""The rules there are: packs, and each rule with its source."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from flask import Blueprint, Response

from rules.subject.faults import Fault
from service.http.answering import answer_json
from service.http.asking import JSON, chosen_format, no_options
from service.http.running import running
from service.problems import KINDS, Problem, Refusal

catalogue = Blueprint("catalogue", __name__)


@catalogue.get("/v1/packs")
def get_packs() -> Response:
    """List the packs."""
    _plainly_asked()
    here = running()
    broken = [{"name": pack.name, "origin": pack.origin, "faults": [str(fault) for fault in pack.faults]} for pack in here.library.broken]
    return answer_json({"packs": list(here.engine.pack_list(here.library)), "broken": broken})


@catalogue.get("/v1/packs/<pack>")
def get_pack(pack: str) -> Response:
    """Show one pack."""
    _plainly_asked()
    here = running()
    return answer_json(_found(f"pack “{pack[:100]}”", lambda: here.engine.pack_page(here.library, pack)))


@catalogue.get("/v1/rules/<pack>/<rule>")
def get_rule(pack: str, rule: str) -> Response:
    """Show one rule."""
    _plainly_asked()
    here = running()
    return answer_json(_found(f"rule “{pack[:100]}/{rule[:100]}”", lambda: here.engine.rule_page(here.library, pack, rule)))


def _plainly_asked() -> None:
    chosen_format((JSON,))
    no_options()


def _found(what: str, page: Callable[[], Mapping[str, Any]]) -> Mapping[str, Any]:
    try:
        return page()
    except KeyError:
        detail = f"There is no {what}."
        packs = [pack.id for pack in running().library.packs]
        fault = Fault(
            "", "unknown-name", detail, None, packs, "The packs there are stand under allowed; /v1/packs/<id> lists a pack's rules."
        )
        raise Refusal(Problem(KINDS["not-found"], detail, faults=(fault,))) from None
