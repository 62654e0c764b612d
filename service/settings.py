"""What an operator may set, read from the environment once at start."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from rules.subject.faults import BirdsmouthError
from service.limits import LIMITS, Limits

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
    trials_token: what other machines must send to try rule packs, None: only this machine may;
    origins: where pages come from that may call the service in a browser, or "*".
    """

    max_body_bytes: int = LIMITS.body_bytes
    deadline_s: float = 20.0
    waiting: int = 8
    packs: Path | None = None
    trials_token: str | None = None
    origins: tuple[str, ...] = ()

    def limits(self) -> Limits:
        """The limits of one request under these settings."""
        return replace(LIMITS, body_bytes=self.max_body_bytes)


def settings_from(environment: Mapping[str, str]) -> Settings:
    """Settings from environment variables BIRDSMOUTH_*. Raises SettingsRefused with every fault."""
    faults: list[str] = []
    largest = _whole(environment, "BIRDSMOUTH_MAX_BODY_BYTES", LIMITS.body_bytes, 1024, 64 * LIMITS.body_bytes, faults)
    deadline = _whole(environment, "BIRDSMOUTH_DEADLINE_S", 20, 1, 600, faults)
    waiting = _whole(environment, "BIRDSMOUTH_WAITING", 8, 0, 1000, faults)
    packs = _folder(environment, "BIRDSMOUTH_PACKS", faults)
    token = _token(environment, "BIRDSMOUTH_TRIALS_TOKEN", faults)
    origins = _origins(environment, "BIRDSMOUTH_ORIGINS", faults)
    if faults:
        raise SettingsRefused(tuple(faults))
    return Settings(largest, float(deadline), waiting, packs, token, origins)


def _whole(environment: Mapping[str, str], name: str, default: int, least: int, most: int, faults: list[str]) -> int:
    written = environment.get(name, "").strip()
    if not written:
        return default
    if not (written.isascii() and written.isdecimal() and len(written) < 12 and least <= int(written) <= most):
        faults.append(f"{name} is “{written}”; it takes a whole number from {least} to {most}")
        return default
    return int(written)


def _token(environment: Mapping[str, str], name: str, faults: list[str]) -> str | None:
    written = environment.get(name, "").strip()
    if written and not (len(written) >= 16 and written.isascii() and written.isprintable() and " " not in written):
        faults.append(f"{name} takes at least 16 letters, digits and signs without blanks")  # what was written is a secret
        return None
    return written or None


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
