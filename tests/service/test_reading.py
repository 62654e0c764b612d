"""Bytes to JSON values: one meaning or a refusal."""

import json
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.limits import LIMITS
from service.reading import BodyRefused, read

DEEPEST = LIMITS.depth

REFUSED = {
    "nothing": (b"", 400, [("", "empty-body")]),
    "only spaces": (b" \n\t ", 400, [("", "empty-body")]),
    "a byte-order mark": (b'\xef\xbb\xbf{"a": 1}', 400, [("", "byte-order-mark")]),
    "UTF-16": ('{"a": 1}'.encode("utf-16"), 400, [("", "not-utf-8")]),
    "UTF-16 without a mark": ('{"a": 1}'.encode("utf-16-le"), 400, [("", "not-json")]),
    "Latin-1": ('{"a": "é"}'.encode("latin-1"), 400, [("", "not-utf-8")]),
    "a broken character": (b'{"a": "\xe2\x82"}', 400, [("", "not-utf-8")]),
    "an encoded surrogate": (b'{"a": "\xed\xa0\x80"}', 400, [("", "not-utf-8")]),
    "a comma too many": (b'{"a": 1,}', 400, [("", "not-json")]),
    "a bracket missing": (b'{"a": [1, 2}', 400, [("", "not-json")]),
    "two documents": (b"{} {}", 400, [("", "not-json")]),
    "a comment": (b'{"a": 1} // no', 400, [("", "not-json")]),
    "single quotes": (b"{'a': 1}", 400, [("", "not-json")]),
    "a leading zero": (b"[012]", 400, [("", "not-json")]),
    "a leading plus": (b"[+1]", 400, [("", "not-json")]),
    "a control character in a text": (b'["\x00"]', 400, [("", "not-json")]),
    "a form": (b"a=1&b=2", 400, [("", "not-json")]),
    "NaN": (b'{"a": {"b": NaN}}', 400, [("/a/b", "not-finite")]),
    "infinities": (b"[Infinity, -Infinity]", 400, [("/0", "not-finite"), ("/1", "not-finite")]),
    "1e400": (b'{"a": 1e400, "b": -1E+999}', 400, [("/a", "not-finite"), ("/b", "not-finite")]),
    "a whole number of 400 digits": (b"[" + b"9" * 400 + b"]", 400, [("/0", "not-finite")]),
    "a whole number of 5000 digits": (b"[" + b"9" * 5000 + b"]", 400, [("/0", "not-finite")]),
    "a name twice": (b'{"a": 1, "b": {"c": 1, "c": 1}, "a": 2}', 400, [("/a", "repeated-name"), ("/b/c", "repeated-name")]),
    "a name twice, escaped once": (b'{"a/b": 1, "a\\u002fb": 2}', 400, [("/a~1b", "repeated-name")]),
    "half a character": (b'{"a": ["\\ud800"]}', 400, [("/a/0", "half-character")]),
    "half a character in a name": (b'{"\\udc00": 1}', 400, [("", "half-character")]),
    "several things": (
        b'{"a": NaN, "b": 1, "b": "\\ud8ff"}',
        400,
        [("/b", "repeated-name"), ("/a", "not-finite"), ("/b", "half-character")],
    ),
    "one bracket too deep": (b"[" * (DEEPEST + 1) + b"]" * (DEEPEST + 1), 400, [("/0" * DEEPEST, "too-deep")]),
    "far too deep": (b"[" * 500_000, 400, [("", "too-deep")]),
    "far too deep, in objects": (b'{"a":' * 100_000, 400, [("", "too-deep")]),
    "too large": (b" " * (LIMITS.body_bytes + 1), 413, [("", "too-large")]),
    "too many values": (b"[" + b"0," * LIMITS.values + b"0]", 413, [("", "too-large")]),
}


@pytest.mark.parametrize(("body", "status", "faults"), REFUSED.values(), ids=REFUSED)
def test_a_body_that_is_not_one_document_is_refused(body: bytes, status: int, faults: list[tuple[str, str]]) -> None:
    with pytest.raises(BodyRefused) as refusal:
        read(body)
    assert refusal.value.status == status
    assert [(fault.pointer, fault.code) for fault in refusal.value.faults] == faults
    assert all(fault.detail and fault.hint for fault in refusal.value.faults)


def test_the_deepest_document_there_may_be_is_read() -> None:
    assert read(b"[" * DEEPEST + b"]" * DEEPEST)


def test_the_largest_whole_number_a_float_can_hold_is_read() -> None:
    assert read(b"[" + b"9" * 300 + b"]") == [int("9" * 300)]


def test_the_place_of_a_syntax_error_is_told() -> None:
    with pytest.raises(BodyRefused, match="line 2, column 8"):
        read(b'{"a": 1,\n"b": 2 "c"}')


def test_the_byte_that_is_no_utf_8_is_told() -> None:
    with pytest.raises(BodyRefused, match=r"byte 7 \(0xe9\)"):
        read(b'{"a": "\xe9"}')


@pytest.mark.parametrize(
    "body",
    [
        b'{"a":' + b"[" * 200_000,
        b'"' + b'\\"' * 900_000,
        b"[" + b"NaN," * 400_000 + b"0]",
        b"9" * 2_000_000,
        b"{" + b'"a":1,' * 300_000 + b'"a":1}',
    ],
    ids=["brackets", "escapes", "words", "digits", "one name"],
)
def test_a_hostile_body_costs_little(body: bytes) -> None:
    """Linear in the size: 2 MB of anything is refused in a second or two even on a busy machine; quadratic work would take minutes."""
    begin = time.process_time()
    with pytest.raises(BodyRefused):
        read(body)
    assert time.process_time() - begin < 10.0


JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-(10**20), 10**20) | st.floats(allow_nan=False, allow_infinity=False) | st.text(st.characters(exclude_categories=("Cs",))),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(st.characters(exclude_categories=("Cs",))), inner, max_size=4),
    max_leaves=20,
)  # fmt: skip


@settings(deadline=None)
@given(JSON, st.booleans())
def test_what_is_json_is_read_as_it_is(value: object, ascii_only: bool) -> None:
    assert read(json.dumps(value, ensure_ascii=ascii_only).encode()) == value


@settings(deadline=None)
@given(st.binary(max_size=60))
def test_any_bytes_are_read_or_refused(body: bytes) -> None:
    status = 200
    try:
        read(body)
    except BodyRefused as refusal:
        status = refusal.status
    assert status in (200, 400)
