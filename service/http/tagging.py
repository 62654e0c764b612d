"""ETags, 304 and digests: what a cache or a careful client needs to know that an answer is still the same, and whole.

GET and HEAD are tagged by their bytes. A QUERY is tagged by all its answer hangs on, before it is worked out, so that an unchanged
answer costs no calculation. All packs are taken into that tag, not only those a design chooses: which ones it chooses is known only
afterwards, and a tag that changes too often is merely slow where one that changes too seldom is wrong.
"""

from __future__ import annotations

import base64
import datetime
import hashlib
from http import HTTPStatus

import msgspec
from flask import Response, g, request

from rules import __version__
from rules.library.loading import Library
from service.places import directory_version
from service.problems import MEDIA_TYPE

PASSING = ("/healthz", "/readyz", "/metrics")
"""What says how things are at this moment: nobody is to keep that."""


class _Codes(msgspec.Struct):
    as_of: str | None = None


class _Dated(msgspec.Struct):
    codes: _Codes | None = None


def query_tag(content: bytes, media_type: str, library: Library, today: datetime.date) -> str:
    """The strong tag of a QUERY's answer: engine, packs, postcode directory, day, media type, options and body, each told apart from the next."""
    packs = sorted(f"{pack.id}@{pack.release}={pack.digest}" for pack in library.packs)
    day = "of the document" if _names_a_day(content) else today.isoformat()
    parts = [
        __version__,
        *packs,
        directory_version() or "",
        day,
        media_type,
        request.query_string.decode("latin-1"),
        hashlib.sha256(content).hexdigest(),
    ]
    return hashlib.sha256(msgspec.json.encode(parts)).hexdigest()


def is_known(tag: str) -> bool:
    """Whether the caller named this tag in If-None-Match. An asterisk names none: whether there is an answer is not known yet."""
    return not request.if_none_match.star_tag and request.if_none_match.contains_weak(tag)


def not_modified(tag: str) -> Response:
    """A 304 for an answer the caller holds."""
    g.tag = tag
    return Response(status=304)


def tag_later(tag: str | None) -> None:
    """Put this tag on the answer, if it becomes one."""
    g.tag = tag


def seal_answer(response: Response) -> Response:
    """Put on digest, tag and what may be kept of an answer; turn a GET whose tag the caller holds into a 304."""
    streamed = response.is_streamed
    content = b"" if streamed else response.get_data()
    if content:
        digest = base64.b64encode(hashlib.sha256(content).digest()).decode()
        response.headers["Repr-Digest"] = f"sha-256=:{digest}:"
    good = response.status_code in (200, 304) and response.mimetype != MEDIA_TYPE
    response.headers.setdefault("Cache-Control", _kept(good))
    if good and g.get("tag"):
        response.set_etag(str(g.tag))
    elif good and request.method in ("GET", "HEAD") and not streamed and request.path not in PASSING:
        tag = hashlib.sha256(f"{response.content_type}\n".encode() + content).hexdigest()
        response.set_etag(tag)
        response.status_code = HTTPStatus.NOT_MODIFIED if request.if_none_match.contains_weak(tag) else response.status_code
    if content and response.status_code != HTTPStatus.NOT_MODIFIED and request.method != "HEAD":  # whose content is empty: RFC 9530, B.2
        response.headers["Content-Digest"] = response.headers["Repr-Digest"]  # nothing is compressed or cut here, so they are one
    return response


def is_unwanted(response: Response) -> bool:
    """Whether the caller wants this answer only under a tag it does not have (If-Match)."""
    tag, _ = response.get_etag()
    return tag is not None and bool(request.if_match) and not request.if_match.contains(tag)


def _kept(good: bool) -> str:
    """A design and its report are one customer's: kept by his own client at most, and asked for again each time."""
    if not good or request.method not in ("GET", "HEAD", "QUERY") or request.path in PASSING:
        return "no-store"
    return "private, no-cache" if request.method == "QUERY" else "no-cache"


def _names_a_day(content: bytes) -> bool:
    try:
        dated = msgspec.json.decode(content, type=_Dated)
    except (msgspec.DecodeError, RecursionError):
        return False
    return bool(dated.codes and dated.codes.as_of)
