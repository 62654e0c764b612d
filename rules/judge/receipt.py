"""What a report was made from, so that it can be made again: packs, their digests, and the digests of design and subject."""

from __future__ import annotations

import datetime
import hashlib
import json
from typing import Any

from rules import __version__
from rules.judge.framed import Frame
from rules.judge.options import Options
from rules.library.choosing import Chosen

Document = dict[str, Any]


def packs_part(frame: Frame) -> list[Document]:
    """The packs in force, in the order they speak, each with why."""
    return [_pack(chosen) for chosen in frame.selection.packs]


def _pack(chosen: Chosen) -> Document:
    pack = chosen.pack
    return {
        "id": pack.id,
        "title": pack.title,
        "layer": pack.layer,
        "document": pack.document,
        "edition": pack.edition,
        "release": pack.release,
        "digest": pack.digest,
        "selected_because": chosen.because,
    }


def receipt(frame: Frame, as_of: datetime.date, options: Options) -> Document:
    """The receipt, without the digest of the report, which the edge adds."""
    design = frame.settled.design
    packs = canonical([[chosen.pack.pin, chosen.pack.digest] for chosen in frame.selection.packs])
    return {
        "design": design.digest,
        "subject": design.subject_digest,
        "engine": __version__,
        "packs": f"sha256:{hashlib.sha256(packs).hexdigest()}",
        "as_of": as_of.isoformat(),
        "options": options.as_document(),
    }


def canonical(value: object) -> bytes:
    """JSON with sorted keys and no spaces, UTF-8."""
    return _WRITER.encode(value).encode()


_WRITER = json.JSONEncoder(sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)
