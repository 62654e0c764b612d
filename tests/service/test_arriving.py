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
