"""Files in and out: read and written whole, and named as a person knows them."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

from service.cli.trouble import Trouble


def read_file(file: str) -> bytes:
    """The bytes of a file, or of standard input where it is called -; Trouble when it cannot be read."""
    try:
        return sys.stdin.buffer.read() if file == "-" else Path(file).read_bytes()
    except IsADirectoryError:
        raise Trouble(f"{file} is a folder; name a file in it, or check all its designs together: birdsmouth bulk {file}") from None
    except OSError as error:
        raise Trouble(f"cannot read {file}: {error.strerror or error}") from None


def is_design(document: Any) -> bool:
    """Whether a document says that it is a design, and so nothing else that is asked for here."""
    return isinstance(document, dict) and document.get("format") == "birdsmouth-design-1"


def as_json(content: bytes, file: str) -> Any:
    """The values of a JSON file; Trouble when it cannot be read."""
    from service.reading import BodyRefused, read

    try:
        return read(content)
    except BodyRefused as refused:
        raise Trouble(f"{shown(file)}: {refused.faults[0].detail}") from None


def shown(file: str) -> str:
    """How a file is called in what is written."""
    return "standard input" if file == "-" else file


def write(content: bytes, target: Path | None) -> None:
    """Write to a file, or to standard output; Trouble when it cannot be written."""
    if target is None:
        sys.stdout.flush()
        sys.stdout.buffer.write(content)
        return
    try:
        target.write_bytes(content)
    except OSError as error:
        raise Trouble(f"cannot write {target}: {error.strerror or error}") from None
