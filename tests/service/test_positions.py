"""From a pointer to a line and a column: of every value, in any layout, and of nothing in what is no JSON."""

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.subject.faults import pointer
from service.demo import design_names, read_design
from service.positions import Span, nearest, positions

JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | st.text(),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(), inner, max_size=4), max_leaves=20,
)  # fmt: skip


def cut(text: str, span: Span) -> str:
    """What stands in a span."""
    lines = text.split("\n")[span.line - 1 : span.end_line]
    lines[-1] = lines[-1][: span.end_column - 1]
    return "\n".join(lines)[span.column - 1 :] if len(lines) > 1 else lines[0][span.column - 1 :]


def values(value: Any, steps: tuple[str | int, ...] = ()) -> dict[str, Any]:
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    found = {pointer(*steps): value}
    for step, item in inner:
        found |= values(item, (*steps, step))
    return found


@given(JSON, st.sampled_from([None, 0, 2, "\t"]), st.booleans())
def test_every_value_is_found_where_it_stands(document: Any, indent: int | str | None, ascii_only: bool) -> None:
    text = json.dumps(document, indent=indent, ensure_ascii=ascii_only)
    spans = positions(text)
    assert {at: json.loads(cut(text, span)) for at, span in spans.items()} == values(document)


@pytest.mark.parametrize("name", design_names())
def test_a_design_is_found_in_its_file(name: str) -> None:
    text = read_design(name).decode()
    spans = positions(text)
    assert set(spans) == set(values(json.loads(text)))
    part = "shape" if "shape" in json.loads(text) else "members"
    assert json.loads(cut(text, spans[f"/{part}"])) == json.loads(text)[part]


def test_what_is_not_there_is_pointed_at_by_what_is_around_it() -> None:
    spans = positions('{"a": [1, {"b": 2}]}')
    assert nearest(spans, "/a/1/c/d") == spans["/a/1"]
    assert nearest(spans, "/x") == spans[""] == Span(1, 1, 1, 21)


def test_a_drawn_piece_is_pointed_at_by_the_shape_it_comes_from() -> None:
    spans = positions('{"shape": {"form": "fink"}, "supports": []}')
    assert nearest(spans, "/members/2/nodes") == spans["/shape"]
    assert nearest(spans, "/supports/0") == spans["/supports"]


@pytest.mark.parametrize("text", ["", "{", '{"a"', '{"a":}', "]", "[" * 100 + "]" * 100, '{"a": 1', "[1,"])
def test_what_is_no_json_has_no_places(text: str) -> None:
    assert nearest(positions(text), "/a") is None


@given(st.text())
def test_any_text_is_looked_through(text: str) -> None:
    positions(text)
