"""What leaves: nine digits, no sign on zero, nothing that is no number, and a digest of itself."""

import datetime
import hashlib
import json
from types import MappingProxyType
from typing import Any

import msgspec
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.encoding import NotFinite, encode, seal

FINITE = st.floats(allow_nan=False, allow_infinity=False)


@pytest.mark.parametrize(
    ("value", "written"),
    [
        (1 / 3, "0.333333333"), (2 / 3, "0.666666667"), (1234567890.123, "1234567890.0"), (-0.0, "0.0"), (-1e-320, "-1e-320"), (400.0, "400.0"),
        (400, "400"), (10**18, "1000000000000000000"), (True, "true"), (None, "null"), ("σ", '"σ"'), (np.float64(1 / 3), "0.333333333"),
        (np.int64(7), "7"), ((1, 2.5), "[1,2.5]"), ({"b": 1, "a": 2}, '{"b":1,"a":2}'), (1.0000000004, "1.0"),
    ],
)  # fmt: skip
def test_values_are_written_so(value: object, written: str) -> None:
    assert encode({"v": value}).decode() == f'{{"v":{written}}}'


@pytest.mark.parametrize("value", [float("nan"), float("inf"), -float("inf"), np.float64("nan")])
@pytest.mark.parametrize("write", [encode, seal])
def test_what_is_no_number_is_refused_with_its_place(value: float, write: Any) -> None:
    with pytest.raises(NotFinite) as refusal:
        write({"a": [1.0, {"b/c": value}]})
    assert refusal.value.pointer == "/a/1/b~1c"


@pytest.mark.parametrize("value", [{1, 2}, b"bytes", datetime.date(2026, 1, 1), object(), 1j, {1: "a name that is a number"}])
def test_what_is_no_json_is_a_mistake_of_ours(value: object) -> None:
    with pytest.raises(TypeError):
        encode({"v": value})


@settings(deadline=None)
@given(FINITE)
def test_nine_digits_are_kept_and_no_more(value: float) -> None:
    written = json.loads(encode({"v": value}))["v"]
    assert written == pytest.approx(value, rel=5.1e-9, abs=5e-324)
    assert float(f"{written:.8e}") == written


@settings(deadline=None)
@given(st.dictionaries(st.text(st.characters(exclude_categories=("Cs",))), FINITE | st.integers(-(2**53), 2**53) | st.lists(FINITE)))
def test_encoding_is_settled_after_once(document: dict[str, Any]) -> None:
    once = encode(document)
    assert encode(json.loads(once)) == once


@settings(deadline=None)
@given(st.dictionaries(st.text(st.characters(exclude_categories=("Cs",))), FINITE), FINITE)
def test_a_seal_is_the_digest_of_the_document_without_it(findings: dict[str, float], value: float) -> None:
    """Anybody can verify it: take `report` out of the receipt, write the rest as it was written, and hash that."""
    sealed = json.loads(seal({"findings": findings, "receipt": {"design": "sha256:0", "value": value}}))
    said = sealed["receipt"].pop("report")
    assert said == "sha256:" + hashlib.sha256(encode(sealed)).hexdigest()


def test_a_seal_is_put_last_and_replaces_one_given() -> None:
    sealed = json.loads(seal({"receipt": {"report": "old", "engine": "1"}, "after": 1}))
    assert list(sealed["receipt"]) == ["engine", "report"]
    assert sealed["receipt"]["report"] != "old"


def test_a_document_without_a_receipt_is_only_encoded() -> None:
    assert seal({"a": 1 / 3}) == encode({"a": 1 / 3})


def test_the_document_given_is_left_as_it_was() -> None:
    receipt = {"engine": "1"}
    seal({"receipt": receipt})
    assert receipt == {"engine": "1"}


JSON_LIKE = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53), 2**53) | st.sampled_from((0.0, -0.0, 1 / 3, 0.5)) | FINITE | FINITE.map(np.float64) | st.text("ab", max_size=2),
    lambda parts: (
        st.lists(parts, max_size=4) | st.lists(parts, max_size=3).map(tuple)
        | st.dictionaries(st.text("abc", max_size=2), parts, max_size=4)
        | st.dictionaries(st.text("abc", max_size=2), parts, max_size=3).map(MappingProxyType)
        | parts.map(lambda part: [part, {"again": part}])
    ),
)  # fmt: skip
"""Documents in which the same part stands in several places, of Python's own types and of those like them."""


def plainly(part: Any) -> Any:
    """The same said in the plainest way: every part made anew."""
    if isinstance(part, float):
        return float(f"{part:.9g}") or 0.0
    if isinstance(part, MappingProxyType | dict):
        return {name: plainly(item) for name, item in part.items()}
    return [plainly(item) for item in part] if isinstance(part, list | tuple) else part


@settings(deadline=None)
@given(st.dictionaries(st.text("abc", max_size=2), JSON_LIKE, max_size=4))
def test_every_part_is_written_rounded_and_none_is_changed(document: dict[str, Any]) -> None:
    before = repr(document)
    assert encode(document) == msgspec.json.encode(plainly(document))
    assert repr(document) == before
