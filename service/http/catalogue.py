"""The rules there are: packs, and each rule with its source."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from flask import Blueprint, Response

from rules.library.json_schemas import SHAPES, json_schema
from rules.library.loading import Library
from rules.subject.faults import Fault
from service.encoding import encode
from service.formats.html import POLICY
from service.formats.packs_page import render_packs
from service.http.answering import answer, answer_json
from service.http.asking import JSON, chosen_format, no_options
from service.http.running import running
from service.problems import KINDS, Problem, Refusal

HTML = "text/html"
SCHEMA = "application/schema+json"

catalogue = Blueprint("catalogue", __name__)


@catalogue.get("/v1/packs")
def get_packs() -> Response:
    """List the packs; for a browser, as a page."""
    media_type = chosen_format((JSON, HTML))
    no_options()
    here = running()
    if media_type == HTML:
        pages = [here.engine.pack_page(here.library, pack.id) for pack in here.library.packs]
        page = answer(render_packs(pages, told_of_broken(here.library)), HTML)
        page.headers["Content-Security-Policy"] = POLICY
        return page
    return answer_json({"packs": list(here.engine.pack_list(here.library)), "broken": told_of_broken(here.library)})


@catalogue.get("/v1/schemas/<name>")
def get_schema(name: str) -> Response:
    """Give the JSON Schema of one kind of pack file."""
    media_type = chosen_format((SCHEMA, JSON))
    no_options()
    if name not in SHAPES:
        detail = f"There is no schema “{name[:100]}”."
        fault = Fault("", "unknown-name", detail, name[:100], list(SHAPES), "The schemas there are stand under allowed.")
        raise Refusal(Problem(KINDS["not-found"], detail, faults=(fault,)))
    return answer(encode(json_schema(name)), media_type)


@catalogue.get("/v1/packs/<pack>")
def get_pack(pack: str) -> Response:
    """Show one pack."""
    _plainly_asked()
    here = running()
    return answer_json(_found("pack", pack, lambda: here.engine.pack_page(here.library, pack)))


@catalogue.get("/v1/rules/<pack>/<rule>")
def get_rule(pack: str, rule: str) -> Response:
    """Show one rule."""
    _plainly_asked()
    here = running()
    return answer_json(_found("rule", f"{pack[:100]}/{rule}", lambda: here.engine.rule_page(here.library, pack, rule)))


def told_of_broken(library: Library) -> list[dict[str, Any]]:
    """Every pack that cannot be used, with what is wrong with it: file, line and column in each line."""
    return [
        {"name": pack.name, "origin": pack.origin, "required": pack.required, "faults": [str(fault) for fault in pack.faults]}
        for pack in library.broken
    ]


def _plainly_asked() -> None:
    chosen_format((JSON,))
    no_options()


def _found(what: str, name: str, page: Callable[[], Mapping[str, Any]]) -> Mapping[str, Any]:
    try:
        return page()
    except KeyError:
        detail, found = f"There is no {what} “{name[:200]}”.", name[:200]
        raise Refusal(Problem(KINDS["not-found"], detail, faults=(_unknown(detail, found),))) from None


def _unknown(detail: str, found: str) -> Fault:
    """What there is in place of what was asked for: the rules of a pack that is there, or the packs."""
    packs = {pack.id: pack for pack in running().library.packs}
    pack = packs.get(found.partition("/")[0])
    if pack is None:
        return Fault("", "unknown-name", detail, found, list(packs), "The packs there are stand under allowed.")
    rules = sorted({rule.slug for rule in pack.rules} | {rule.slug for rule in pack.declared})
    return Fault("", "unknown-name", detail, found, rules, f"The rules of {pack.id} stand under allowed.")
