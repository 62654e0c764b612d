"""The log: a JSON object a line, for machines to read. It tells what happened, never what a design says.

What may stand in it: times, counts, routes, statuses, kinds of problem, request ids, names of tokens, and where our own code went
wrong. References, titles, places, ids, values and the words of exceptions, which may hold any of these, do not.
"""

from __future__ import annotations

import logging
from collections.abc import MutableMapping
from typing import Any

import msgspec
import structlog

_Event = MutableMapping[str, Any]
_FOREIGN = "gunicorn"
_REPEATS_A_REQUEST = ("Invalid request", "Error handling request", "Error processing", "Error parsing", "Malformed")


def journal(name: str) -> structlog.stdlib.BoundLogger:
    """The log under this name, of the standard library's tree: who sets up that tree decides where lines go."""
    logger: structlog.stdlib.BoundLogger = structlog.wrap_logger(
        logging.getLogger(name), wrapper_class=structlog.stdlib.BoundLogger,
        processors=[structlog.stdlib.filter_by_level, structlog.stdlib.ProcessorFormatter.wrap_for_formatter],
    )  # fmt: skip
    return logger


def formatter() -> logging.Formatter:
    """What makes lines of records, our own and the server's."""
    before: list[structlog.typing.Processor] = [
        structlog.stdlib.add_log_level, structlog.stdlib.add_logger_name, structlog.processors.TimeStamper(fmt="iso", utc=True, key="at"),
    ]  # fmt: skip
    return structlog.stdlib.ProcessorFormatter(
        foreign_pre_chain=[structlog.stdlib.ExtraAdder(allow=())],
        processors=[
            *before, structlog.stdlib.ProcessorFormatter.remove_processors_meta, _without_words, structlog.processors.JSONRenderer(_line),
        ],
    )  # fmt: skip


def _without_words(_logger: object, _method: str, event: _Event) -> _Event:
    """Take out what a record of the server repeats of a request, and the words of exceptions; their kinds stay."""
    info = event.pop("exc_info", None)
    kind = info[0] if isinstance(info, tuple) else None
    if kind is not None:
        event["exception"] = kind.__name__
    words = str(event.get("event", ""))
    if str(event.get("logger", "")).startswith(_FOREIGN) and words.startswith(_REPEATS_A_REQUEST):
        event["event"] = next(start for start in _REPEATS_A_REQUEST if words.startswith(start))
    return event


def _line(event: _Event, **_options: object) -> str:
    order = {name: event.pop(name) for name in ("at", "level", "logger", "event") if name in event}
    return msgspec.json.encode({**order, **event}, enc_hook=str).decode()
