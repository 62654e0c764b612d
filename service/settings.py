"""What an operator may set, read from the environment once at start."""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from rules.subject.faults import BirdsmouthError
from service.limits import LIMITS, Limits
from service.tokens import Token, TokensRefused, read_tokens

NAMES = frozenset(
    f"BIRDSMOUTH_{each}"
    for each in ("BIND", "WORKERS", "MAX_BODY_BYTES", "DEADLINE_S", "WAITING", "LOG_LEVEL", "TOKENS", "TOKEN", "ORIGINS", "PACKS")
)
"""Every variable this package reads."""
LEVELS = ("info", "warning", "error")
OFF = "off"
"""What BIRDSMOUTH_TOKENS says when everybody who reaches the service may call it."""

_ORIGIN = re.compile(r"https?://[a-z0-9.-]+(:[0-9]{1,5})?")


@dataclass(eq=False)
class SettingsRefused(BirdsmouthError):
    """One or more environment variables make no sense. faults: a line each."""

    faults: tuple[str, ...]

    def __post_init__(self) -> None:
        super().__init__("; ".join(self.faults))


@dataclass(frozen=True, slots=True)
class Settings:
    """How one process of the service runs.

    max_body_bytes: largest body taken; deadline_s: longest a request may take, seconds; waiting: how many requests may wait
    for the one calculation a process does at a time; packs: a folder of declared rule packs to load besides those that ship;
    tokens: who may call; open_to_all: anybody may, because somebody else sees to that; with neither, only this machine may;
    origins: where pages come from that may call the service in a browser, or "*".
    """

    max_body_bytes: int = LIMITS.body_bytes
    deadline_s: float = 20.0
    waiting: int = 8
    packs: Path | None = None
    tokens: tuple[Token, ...] = ()
    open_to_all: bool = False
    origins: tuple[str, ...] = ()

    def limits(self) -> Limits:
        """The limits of one request under these settings."""
        return replace(LIMITS, body_bytes=self.max_body_bytes)


def settings_from(environment: Mapping[str, str]) -> Settings:
    """Settings from environment variables BIRDSMOUTH_*. Raises SettingsRefused with every fault, also of those service.serving has read."""
    faults: list[str] = []
    largest = _whole(environment, "BIRDSMOUTH_MAX_BODY_BYTES", LIMITS.body_bytes, 1024, 64 * LIMITS.body_bytes, faults)
    deadline = _whole(environment, "BIRDSMOUTH_DEADLINE_S", 20, 1, 600, faults)
    waiting = _whole(environment, "BIRDSMOUTH_WAITING", 8, 0, 1000, faults)
    _whole(environment, "BIRDSMOUTH_WORKERS", 1, 1, 64, faults)
    _level(environment, "BIRDSMOUTH_LOG_LEVEL", faults)
    packs = _folder(environment, "BIRDSMOUTH_PACKS", faults)
    open_to_all = environment.get("BIRDSMOUTH_TOKENS", "").strip() == OFF
    tokens = () if open_to_all else _tokens(environment, "BIRDSMOUTH_TOKENS", faults)
    origins = _origins(environment, "BIRDSMOUTH_ORIGINS", faults)
    if faults:
        raise SettingsRefused(tuple(faults))
    return Settings(largest, float(deadline), waiting, packs, tokens, open_to_all, origins)


def misspelt(environment: Mapping[str, str]) -> dict[str, str]:
    """Variables that nothing reads and that are nearly called as one that something does: each with that one's name."""
    strange = sorted(name for name in environment if name.startswith("BIRDSMOUTH_") and name not in NAMES)
    near = {name: difflib.get_close_matches(name, NAMES, n=1, cutoff=0.9) for name in strange}
    return {name: found[0] for name, found in near.items() if found}


def _level(environment: Mapping[str, str], name: str, faults: list[str]) -> None:
    written = environment.get(name, "").strip()
    if written.lower() not in ("", *LEVELS):
        faults.append(f"{name} is “{written}”; it takes {', '.join(LEVELS)}")


def _whole(environment: Mapping[str, str], name: str, default: int, least: int, most: int, faults: list[str]) -> int:
    written = environment.get(name, "").strip()
    if not written:
        return default
    if not (written.isascii() and written.isdecimal() and len(written) < 12 and least <= int(written) <= most):
        faults.append(f"{name} is “{written}”; it takes a whole number from {least} to {most}")
        return default
    return int(written)


def _tokens(environment: Mapping[str, str], name: str, faults: list[str]) -> tuple[Token, ...]:
    written = environment.get(name, "").strip()
    try:
        return read_tokens(Path(written)) if written else ()
    except TokensRefused as refusal:
        faults.extend(f"{name}: {fault}" for fault in refusal.faults)
        return ()


def _folder(environment: Mapping[str, str], name: str, faults: list[str]) -> Path | None:
    written = environment.get(name, "").strip()
    if not written:
        return None
    if not Path(written).is_dir():
        faults.append(f"{name} is “{written}”, which is not a folder")
    return Path(written)


def _origins(environment: Mapping[str, str], name: str, faults: list[str]) -> tuple[str, ...]:
    written = tuple(word.strip() for word in environment.get(name, "").split(",") if word.strip())
    strange = [word for word in written if word != "*" and not _ORIGIN.fullmatch(word)]
    if strange:
        faults.append(f"{name} holds “{strange[0]}”; it takes origins such as https://estimating.example, with commas between, or *")
    return written
