"""A request on its way in: whether all of it is there. Only its length is looked at; what it says is the server's to judge."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

LONGEST_HEAD = 64 * 1024
_LENGTH = re.compile(rb"^content-length:[ \t]*([0-9]{1,12})[ \t]*\r$", re.IGNORECASE | re.MULTILINE)
_CHUNKED = re.compile(rb"^transfer-encoding:[^\r\n]*chunked[ \t]*\r$", re.IGNORECASE | re.MULTILINE)
_EXPECTS = re.compile(rb"^expect:[ \t]*100-continue[ \t]*\r$", re.IGNORECASE | re.MULTILINE)
_SIZE = re.compile(rb"([0-9a-fA-F]{1,8})(?:;[^\r\n]*)?\r\n")


@dataclass(slots=True)
class Arriving:
    """What has come of one request. largest: bytes of a body that are worth waiting for; more is handed on, to be refused.

    at: where the next thing is looked for; expects: the sender waits for a word before he sends the body; garbled: this is no HTTP,
    such as a client that wants to encrypt, or lines that end otherwise than they have to.
    """

    largest: int
    taken: bytearray = field(default_factory=bytearray)
    at: int = 0
    expects: bool = False
    garbled: bool = False
    _asks_until: int = 0
    _needs: int | None = None
    _in_chunks: bool = False

    def add(self, piece: bytes) -> bool:
        """Take in a piece; whether there is nothing more to wait for: the request is whole, or can only be refused."""
        self.taken += piece
        if self._needs is None and not self._in_chunks and not self._read_head():
            return self.garbled or len(self.taken) > LONGEST_HEAD
        if self._in_chunks:
            return self._last_chunk() or len(self.taken) > LONGEST_HEAD + 2 * self.largest
        assert self._needs is not None
        return len(self.taken) >= self._needs

    def word_given(self) -> None:
        """The sender has been told to go on, or is not to be told: the line that asks for it goes, or the server would tell him."""
        asks = _EXPECTS.search(self.taken, 0, self._asks_until)
        if asks:
            line = asks.end() + 1 - asks.start()
            del self.taken[asks.start() : asks.end() + 1]
            self.at, self._needs = self.at - line, (self._needs or 0) - line
        self.expects, self._asks_until = False, 0

    def _read_head(self) -> bool:
        """Find the end of the head, and from it how long the body is. Empty lines before it, which some clients send, go."""
        if self.taken.startswith((b"\r", b"\n")):
            self.taken, self.at = self.taken.lstrip(b"\r\n"), 0
        end = self.taken.find(b"\r\n\r\n", max(0, self.at - 3))
        self.garbled = _garbled(self.taken)
        if end < 0 or self.garbled:
            self.at = len(self.taken)
            return False
        head, self.at = bytes(self.taken[: end + 2]), end + 4
        length, self._in_chunks = _LENGTH.search(head), _CHUNKED.search(head) is not None
        body = int(length[1]) if length and not self._in_chunks else 0
        self._needs = self.at + (body if body <= self.largest else 0)
        asks = _EXPECTS.search(head) is not None
        self.expects, self._asks_until = asks and body <= self.largest, self.at if asks else 0
        return True

    def _last_chunk(self) -> bool:
        """Go on over the chunks that are there; whether the last was among them, or something that is no chunk."""
        while True:
            size = _SIZE.match(self.taken, self.at)
            if size is None:
                return len(self.taken) - self.at > 300 or b"\r\n" in self.taken[self.at :]
            length = int(size[1], 16)
            if length == 0:
                return self.taken.find(b"\r\n\r\n", size.end() - 2) >= 0
            if len(self.taken) < size.end() + length + 2:
                return False
            self.at = size.end() + length + 2


def _garbled(begun: bytearray) -> bool:
    """Whether a request cannot begin so: no letter first, or a first line that ends without a carriage return."""
    line = begun.find(b"\n")
    return bool(begun) and not (begun[:1].isalpha() and (line < 0 or begun[line - 1 : line] == b"\r"))
