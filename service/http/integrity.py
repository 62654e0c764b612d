"""Content-Digest of a request (RFC 9530): what came is what was sent, or it is refused before anything is read from it."""

from __future__ import annotations

import base64
import binascii
import hashlib
import re
from dataclasses import dataclass
from typing import Any

from flask import request

from rules.subject.faults import Fault
from service.problems import KINDS, Problem, Refusal

ALGORITHMS = {"sha-256": hashlib.sha256, "sha-512": hashlib.sha512}
"""Those the standard calls active. Others are passed over, as it says."""
_MEMBER = re.compile(r"([a-z*][a-z0-9_.*-]*)=:([A-Za-z0-9+/]*={0,2}):")


@dataclass(frozen=True, slots=True)
class Announced:
    """What the header announces: each algorithm with its running digest of the content and what that has to come to."""

    digests: tuple[tuple[str, Any, bytes], ...]

    def take(self, piece: bytes) -> None:
        """Take in the next piece of the content."""
        for _, running, _ in self.digests:
            running.update(piece)

    def verify(self) -> None:
        """Raise Refusal (wrong-digest, 400) where the content is not what was announced."""
        for name, running, announced in self.digests:
            if running.digest() != announced:
                found = f"{name}=:{base64.b64encode(running.digest()).decode()}:"
                raise _wrong(f"The content does not have the {name} that Content-Digest announces.", found, "Send it again.")


def announced() -> Announced:
    """What this request's Content-Digest announces; nothing where there is none. Raises Refusal (400) for one that cannot be read."""
    written = request.headers.get("Content-Digest", "").strip()
    members = [_member(part.strip()) for part in written.split(",")] if written else []
    return Announced(tuple((name, ALGORITHMS[name](), value) for name, value in members if name in ALGORITHMS))


def _member(written: str) -> tuple[str, bytes]:
    found = _MEMBER.fullmatch(written)
    try:
        if found:
            return found[1], base64.b64decode(found[2], validate=True)
    except binascii.Error:
        pass
    raise _wrong("Content-Digest cannot be read.", written[:100], "Write it as RFC 9530 has it: sha-256=:the digest in base64:.")


def _wrong(detail: str, found: str, hint: str) -> Refusal:
    return Refusal(Problem(KINDS["wrong-digest"], detail, faults=(Fault("", "wrong-digest", detail, found, hint=hint),)))
