"""Who may call: tokens with names. The file holds their digests only, so whoever reads it cannot call.

A token is 256 bits of chance, so one round of SHA-256 keeps it: there is nothing to guess. A given one is compared with every
line in constant time, whichever matches.
"""

from __future__ import annotations

import hashlib
import hmac
import re
import secrets
from dataclasses import dataclass
from pathlib import Path

from rules.subject.faults import BirdsmouthError

NAME = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
_LINE = re.compile(rf"({NAME.pattern})\s+(sha256:[0-9a-f]{{64}})")


@dataclass(eq=False)
class TokensRefused(BirdsmouthError):
    """The file of tokens cannot be used. faults: a line each, without what stands in the file."""

    faults: tuple[str, ...]

    def __post_init__(self) -> None:
        super().__init__("; ".join(self.faults))


@dataclass(frozen=True, slots=True)
class Token:
    """One caller that may call. digest: "sha256:…" of the token."""

    name: str
    digest: str


def new_token() -> str:
    """A token nobody has had before."""
    return "bm_" + secrets.token_urlsafe(32)


def digest_of(token: str) -> str:
    """What the file keeps of a token."""
    return "sha256:" + hashlib.sha256(token.encode()).hexdigest()


def name_of(given: str, tokens: tuple[Token, ...]) -> str | None:
    """The name of the token that was given; None for one there is not. Takes the same time for each."""
    found, digest = None, digest_of(given)
    for token in tokens:
        if hmac.compare_digest(token.digest, digest):
            found = token.name
    return found


def read_tokens(file: Path) -> tuple[Token, ...]:
    """The tokens of a file: a name and a digest a line, empty lines and lines after # left out. Raises TokensRefused."""
    try:
        lines = file.read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError) as error:
        raise TokensRefused((f"{file} cannot be read: {getattr(error, 'strerror', None) or 'it is no text'}",)) from None
    wanted = [(number, line.strip()) for number, line in enumerate(lines, 1) if line.strip() and not line.lstrip().startswith("#")]
    found = {number: _LINE.fullmatch(line) for number, line in wanted}
    faults = [f"{file}, line {number}: a name and sha256: with 64 letters and digits stand here" for number in found if not found[number]]
    tokens = tuple(Token(match[1], match[2]) for match in found.values() if match)
    names = [token.name for token in tokens]
    faults += [f"{file}: the name {name} stands twice" for name in sorted(set(names)) if names.count(name) > 1]
    if faults or not tokens:
        raise TokensRefused(tuple(faults) or (f"{file} holds no token",))
    return tokens
