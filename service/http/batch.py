"""Many designs in one request, a line each: taken in whole before the first answer leaves, answered in order, closed by a count.

A client such as requests reads only after it has sent everything, so answering while lines still come in would stop both sides for
ever. The designs wait in a temporary file, not in memory. Lines that are the same bytes are answered once, and frames that
differ only in what they are called are judged once.
"""

from __future__ import annotations

import errno
import hashlib
import weakref
from collections import Counter
from collections.abc import Iterator
from contextlib import ExitStack, suppress
from dataclasses import dataclass, field
from tempfile import TemporaryFile
from typing import IO

from flask import Blueprint, Response, request

from rules.judge.options import Options
from rules.subject.faults import Fault
from service.deadline import Deadline
from service.http.answering import request_id
from service.http.asking import chosen_format, expect, options, too_large
from service.http.integrity import announced
from service.http.refusing import failure
from service.http.running import Running, running
from service.journal import journal
from service.pipeline import Known, check_document
from service.problems import KINDS, Problem, Refusal, problem_of

NDJSON = "application/x-ndjson"
_PIECE = 900_000  # large, since the server copies what is left of a body at each read
_GOOD, _REFUSED = b'"status":200,', b'"status":4'

_LOG = journal("birdsmouth.http")

batches = Blueprint("batches", __name__)


@batches.post("/v1/checks/batch")
def post_batch() -> Response:
    """Check many designs, a line each."""
    here, media_type = running(), chosen_format((NDJSON,))
    wanted = options()
    expect(NDJSON)
    held = ExitStack()
    try:
        taken = _take_in(here, held)
        held.enter_context(here.room.place())
        batch = _Batch(here, wanted, taken, _file(held, buffering=0), request_id())
    except OSError as error:
        with suppress(OSError):  # what could not be written is not let go without a word either
            held.close()
        raise _no_room(error) from None
    except BaseException:
        held.close()
        raise
    answers = _while_held(batch, held)
    weakref.finalize(answers, held.close)
    response = Response(answers, content_type=media_type)
    response.call_on_close(held.close)
    return response


@dataclass(frozen=True, slots=True)
class _Taken:
    """The designs, and how often each line stands there, by its digest."""

    lines: IO[bytes]
    times: Counter[bytes]


def _while_held(batch: _Batch, held: ExitStack) -> Iterator[bytes]:
    """The answers; place and files are given back after the last. call_on_close sees to it when a caller goes before the first, and the
    finalizer when the answer is dropped without a word."""
    with held:
        yield from batch.answers()


def _take_in(here: Running, held: ExitStack) -> _Taken:
    """Read the whole body into a file of its own. Raises Refusal (413, 400) before anything is judged."""
    limits = here.settings.limits()
    file = _file(held)
    if (request.content_length or 0) > limits.batch_bytes:
        raise too_large(limits.batch_bytes)
    promised = announced()
    while piece := request.stream.read(_PIECE):
        file.write(piece)
        promised.take(piece)
        if file.tell() > limits.batch_bytes:
            raise too_large(limits.batch_bytes)
    promised.verify()
    file.seek(0)
    times = Counter(map(_digest, file))
    if not 1 <= times.total() <= limits.batch_lines:
        raise _wrong_count(times.total(), limits.batch_lines)
    file.seek(0)
    return _Taken(file, times)


def _file(held: ExitStack, buffering: int = -1) -> IO[bytes]:
    return held.enter_context(TemporaryFile(buffering=buffering))  # the stack closes it when the answer has been sent


def _no_room(error: OSError) -> Refusal:
    """The refusal (503) where no file can be written: a full disk, no temporary folder."""
    _LOG.error("no file for a batch", exception=type(error).__name__, reason=errno.errorcode.get(error.errno or 0, "unknown"))
    return Refusal(Problem(KINDS["no-room"], "The batch could not be put into a file.", headers={"Retry-After": "30"}))


def _wrong_count(found: int, most: int) -> Refusal:
    kind = KINDS["body-too-large" if found else "unreadable-body"]
    detail = f"The body has {found} lines; a batch has 1 to {most}."
    fault = Fault("", "wrong-count", detail, found, f"1 to {most}", "Send one design a line, and several batches where there are more.")
    return Refusal(Problem(kind, detail, faults=(fault,)))


def _digest(line: bytes) -> bytes:
    return hashlib.sha256(line.rstrip(b"\r\n")).digest()


@dataclass(slots=True)
class _Batch:
    """The answers of one batch, made as they are sent. kept: a file for answers that are needed again; at: where they stand in it;
    known: designs read and frames judged before, under another name."""

    here: Running
    options: Options
    taken: _Taken
    kept: IO[bytes]
    request: str
    at: dict[bytes, tuple[int, int]] = field(default_factory=dict)
    known: Known = field(default_factory=Known)

    def answers(self) -> Iterator[bytes]:
        """A line for each design, and the closing record. Without that record the answer is not whole."""
        lines = failed_lines = 0
        for line in self.taken.lines:
            lines += 1
            told = self._told(line)
            failed_lines += not told.startswith(_GOOD)
            yield b'{"line":%d,%s}\n' % (lines, told)
        yield b'{"lines":%d,"failed":%d}\n' % (lines, failed_lines)

    def _told(self, line: bytes) -> bytes:
        """Status and report or problem of one line, as members of a JSON object."""
        digest = _digest(line)
        if digest in self.at:
            start, size = self.at[digest]
            self.kept.seek(start)
            return self.kept.read(size)
        told = self._judge(line.rstrip(b"\r\n"))
        if self.taken.times[digest] > 1 and told.startswith((_GOOD, _REFUSED)):
            self._keep(digest, told)
        return told

    def _keep(self, digest: bytes, told: bytes) -> None:
        """Keep an answer that is needed again. Where there is no room for it, it is worked out again: nothing is lost."""
        with suppress(OSError):
            start = self.kept.seek(0, 2)
            if self.kept.write(told) == len(told):
                self.at[digest] = (start, len(told))

    def _judge(self, design: bytes) -> bytes:
        here, deadline = self.here, Deadline.after(self.here.settings.deadline_s)
        try:
            with here.room.turn(deadline):
                report = check_document(
                    design, here.library, today=here.today(), options=self.options, largest=here.settings.max_body_bytes,
                    deadline=deadline, engine=here.engine, known=self.known,
                )  # fmt: skip
            return _GOOD + b'"report":' + report
        except Exception as error:
            problem = problem_of(error) or failure(error, self.request)
            return b'"status":%d,"problem":' % problem.kind.status + problem.content(f"urn:birdsmouth:request:{self.request}")
