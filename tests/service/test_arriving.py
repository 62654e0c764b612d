"""When a request is there: by its length, by its chunks, in whatever pieces it comes; and what is not worth waiting for."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.http.arriving import LONGEST_HEAD, Arriving

WHOLE = {
    "no body": b"GET /healthz HTTP/1.1\r\nHost: x\r\n\r\n",
    "empty lines before": b"\r\n\r\nGET / HTTP/1.1\r\nHost: x\r\n\r\n",
    "a body": b"POST / HTTP/1.1\r\nHost: x\r\nContent-Length: 5\r\n\r\nab\r\ncd"[:-1],
    "a body, in small letters": b"POST / HTTP/1.1\r\ncontent-length:3\r\n\r\nabc",
    "chunks": b"POST / HTTP/1.1\r\nTransfer-Encoding: chunked\r\n\r\n5\r\n0\r\n\r\n\r\na;x=y\r\n0123456789\r\n0\r\n\r\n",
    "chunks and a trailer": b"POST / HTTP/1.1\r\nTransfer-Encoding: gzip, Chunked\r\n\r\n1\r\nx\r\n0\r\nA: b\r\n\r\n",
}


@pytest.mark.parametrize("request_", WHOLE.values(), ids=WHOLE)
def test_byte_by_byte_it_is_whole_at_its_last(request_: bytes) -> None:
    arriving = Arriving(1000)
    told = [arriving.add(request_[at : at + 1]) for at in range(len(request_))]
    assert told == [False] * (len(request_) - 1) + [True]


@pytest.mark.parametrize("request_", WHOLE.values(), ids=WHOLE)
@given(data=st.data())
def test_in_any_pieces_it_is_whole_at_its_last(request_: bytes, data: st.DataObject) -> None:
    cuts = sorted(data.draw(st.sets(st.integers(1, len(request_) - 1))))
    pieces = [request_[a:b] for a, b in zip([0, *cuts], [*cuts, len(request_)], strict=True)]
    arriving = Arriving(1000)
    assert [arriving.add(piece) for piece in pieces] == [False] * (len(pieces) - 1) + [True]


@pytest.mark.parametrize(
    "sent",
    [
        b"POST / HTTP/1.1\r\nContent-Length: 1001\r\n\r\n",
        b"POST / HTTP/1.1\r\nContent-Length: 99999999999999999999\r\n\r\n",
        b"x" * (LONGEST_HEAD + 1),
        b"POST / HTTP/1.1\r\nTransfer-Encoding: chunked\r\n\r\nfive\r\n",
        b"POST / HTTP/1.1\r\nTransfer-Encoding: chunked\r\n\r\n" + b"5" * 400,
        b"POST / HTTP/1.1\r\nTransfer-Encoding: chunked\r\n\r\nffff\r\n" + b"x" * (LONGEST_HEAD + 2001),
    ],
    ids=["too long", "beyond all numbers", "a head without end", "no chunk", "a size without end", "a chunk without end"],
)
def test_what_can_only_be_refused_is_not_waited_for(sent: bytes) -> None:
    assert Arriving(1000).add(sent)


def test_who_waits_for_a_word_is_known_by_his_head() -> None:
    head = b"POST / HTTP/1.1\r\nExpect: 100-continue\r\nContent-Length: %d\r\n\r\n"
    waits, too_much = Arriving(1000), Arriving(1000)
    assert not waits.add(head % 10)
    assert waits.expects
    assert too_much.add(head % 2000)
    assert not too_much.expects


@pytest.mark.parametrize(
    "sent",
    [b"\x16\x03\x01\x02\x00\x01", b"GET / HTTP/1.1\nHost: x\n\n", b"\r\n\x80\x2e", b"{}", b"\n\nGET /\n"],
    ids=["a client that wants to encrypt", "line feeds alone", "after an empty line", "a document alone", "both"],
)
def test_what_is_no_http_is_known_by_its_beginning(sent: bytes) -> None:
    arriving = Arriving(1000)
    assert arriving.add(sent)
    assert arriving.garbled


def test_empty_lines_before_a_request_are_not_handed_on() -> None:
    arriving = Arriving(1000)
    assert not arriving.add(b"\r\n")
    assert arriving.add(b"\r\nGET / HTTP/1.1\r\nHost: x\r\n\r\n")
    assert arriving.taken.startswith(b"GET /")


def test_a_line_that_asks_for_a_word_goes_where_none_is_given_and_nowhere_else() -> None:
    asks = b"Expect: 100-continue\r\n"
    too_much = Arriving(1000)
    too_much.add(b"POST / HTTP/1.1\r\n" + asks + b"Content-Length: 2000\r\n\r\n" + asks)
    too_much.word_given()
    assert too_much.taken == b"POST / HTTP/1.1\r\nContent-Length: 2000\r\n\r\n" + asks
    in_chunks = Arriving(1000)
    sent = b"POST / HTTP/1.1\r\nTransfer-Encoding: chunked\r\n\r\n18\r\n\r\n" + asks + b"\r\n0\r\n\r\n"
    assert in_chunks.add(sent)
    in_chunks.word_given()
    assert in_chunks.taken == sent
