"""What a request asks for: its body, its options, the format of the answer. Each is taken strictly or refused in plain words."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import Any

from flask import request
from marshmallow import ValidationError
from werkzeug.datastructures import MIMEAccept

from rules.judge.options import Options
from rules.subject.faults import Fault
from service.formats.dressing import Reader
from service.http.integrity import announced
from service.problems import KINDS, Problem, Refusal
from service.schemas.complaints import faults_of
from service.schemas.query import CheckQuerySchema, QuerySchema

JSON = "application/json"


def chosen_format(offered: Sequence[str]) -> str:
    """The offered media type the Accept header likes best; the first when there is no such header. Raises Refusal (406)."""
    accept = request.headers.get("Accept", "").strip()
    chosen = _accepted().best_match(offered) if accept else offered[0]
    if chosen is None:
        detail = f"This address can answer in {' or '.join(offered)}."
        fault = Fault(
            "", "not-acceptable", detail, found=accept[:200], allowed=list(offered), hint="Ask for one of them in Accept, or for */*."
        )
        raise Refusal(Problem(KINDS["not-acceptable"], detail, faults=(fault,)))
    return chosen


def _accepted() -> MIMEAccept:
    """The formats of Accept without their parameters: many clients write application/json; charset=utf-8, and nothing here has variants."""
    return MIMEAccept((name.partition(";")[0].strip(), liked) for name, liked in request.accept_mimetypes)


def options() -> Options:
    """What of a report the query asks for.

    Raises Refusal (400) for an option there is not, a value it does not take, or one given twice.
    """
    return Options(**_taken(QuerySchema))


def dressed_options() -> tuple[Options, str | None, Reader]:
    """What of a report the query asks for, the source it names, and for whom it is dressed. Raises as options does."""
    taken = _taken(CheckQuerySchema)
    source, reader = taken.pop("source", None), taken.pop("for", "designer")
    return Options(**taken), source, reader


def _taken(schema: type[QuerySchema]) -> dict[str, Any]:
    given = {name: values[0] if len(values) == 1 else values for name, values in request.args.lists()}
    try:
        return {name: value for name, value in _query_schema(schema).load(given).items() if value is not None}
    except ValidationError as error:
        faults = faults_of(error.messages_dict, given)
        raise Refusal(Problem(KINDS["bad-query"], f"{faults[0].pointer[1:]}: {faults[0].detail}", faults=faults)) from None


def no_options() -> None:
    """Refuse (400) a query where none is taken: an option misspelt or misplaced must not be passed over in silence."""
    if request.args:
        names = list(request.args)
        faults = tuple(
            Fault(f"/{name[:100]}", "unknown-field", "This address takes no options.", name[:100], [], "Leave it out.") for name in names
        )
        raise Refusal(Problem(KINDS["bad-query"], "This address takes no options.", faults=faults))


def body(largest: int) -> bytes:
    """The bytes of a JSON request. Raises Refusal: 415 for another type or a compressed body, 413 above `largest` bytes, 400 where they
    are not what Content-Digest announces.

    No more than that is read, whether the length was announced or the body comes in chunks.
    """
    expect(JSON)
    promised = announced()
    content = b"" if (request.content_length or 0) > largest else request.stream.read(largest + 1)
    if len(content) > largest or (request.content_length or 0) > largest:
        raise too_large(largest)
    promised.take(content)
    promised.verify()
    return content


def expect(media_type: str) -> None:
    """Refuse (415) a body of another type, and one that is compressed."""
    for header, plain in (("Content-Encoding", "identity"), ("Transfer-Encoding", "chunked")):
        encoding = request.headers.get(header, "").strip()
        if encoding.lower() not in ("", plain):
            raise _unsupported("The body is compressed.", encoding, [plain], f"Send it uncompressed, with {plain} or without {header}.")
    if request.mimetype != media_type:
        found = request.headers.get("Content-Type") or None
        said = f"The body is {found[:100]}, not {media_type}." if found else f"There is no Content-Type; {media_type} is needed."
        raise _unsupported(said, found, [media_type], f"Send it with Content-Type: {media_type}.")


def too_large(largest: int) -> Refusal:
    """The refusal (413) of a body larger than so many bytes."""
    detail = f"The body is larger than {largest} bytes."
    fault = Fault(
        "",
        "too-large",
        detail,
        request.content_length,
        largest,
        "Send less at once; what one request may hold stands under limits at /version.",
    )
    return Refusal(Problem(KINDS["body-too-large"], detail, faults=(fault,)))


def _unsupported(detail: str, found: object, allowed: list[str], hint: str) -> Refusal:
    fault = Fault("", "unsupported-media-type", detail, found, allowed, hint)
    return Refusal(Problem(KINDS["unsupported-media-type"], detail, faults=(fault,)))


@cache
def _query_schema(schema: type[QuerySchema]) -> QuerySchema:
    return schema()
