"""The canonical form of an accepted document, and the digests taken of it.

Two documents that say the same hash alike: members sorted, null and absent one thing, 400 and 400.0 one number.
"""

from __future__ import annotations

import datetime
import hashlib
import json
from collections.abc import Iterable, Mapping
from typing import Any

_PARTS = (dict, list)
_NOT_THE_SUBJECT = frozenset(("reference", "title", "codes", "waivers", "baseline"))


def stated(value: Any) -> Any:
    """The value without members that state nothing: null ones, and objects left empty by that."""
    if isinstance(value, dict):
        members = {name: stated(member) if isinstance(member, _PARTS) else member for name, member in value.items() if member is not None}
        return {name: member for name, member in members.items() if member != {}} if {} in members.values() else members
    return [stated(item) if isinstance(item, _PARTS) else item for item in value] if isinstance(value, list) else value


def canonical(document: Mapping[str, Any]) -> bytes:
    """The document as sorted, compact UTF-8 JSON; days as YYYY-MM-DD."""
    return _WRITER.encode(document).encode("utf-8")


_WRITER = json.JSONEncoder(sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False, default=datetime.date.isoformat)


def digests(document: Mapping[str, Any]) -> tuple[str, str]:
    """ "sha256:…" of the whole document in canonical form, and of its subject, which is what is built and loaded: without reference,
    title, codes, waivers and baseline. Both from the same parts, since writing them out is most of the work."""
    parts = {name: canonical({name: document[name]})[1:-1] for name in sorted(document)}
    subject = [part for name, part in parts.items() if name not in _NOT_THE_SUBJECT]
    return _digest(parts.values()), _digest(subject)


def _digest(parts: Iterable[bytes]) -> str:
    return sha256(b"{" + b",".join(parts) + b"}")


def sha256(content: bytes) -> str:
    """The digest of bytes, with the name of the algorithm before it."""
    return "sha256:" + hashlib.sha256(content).hexdigest()
