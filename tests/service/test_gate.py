"""What the compiled gate takes the schemas take, with an equal result; what it takes is not nothing."""

import copy
import json
import os
from collections import Counter
from collections.abc import Iterator
from typing import Any

import pytest
from changing import change
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from marshmallow import Schema, fields

from service.demo import design_names, read_design
from service.openapi.examples import SMALL_ROOF
from service.reading import read
from service.schemas.canonical import canonical
from service.schemas.design import DesignSchema
from service.schemas.fields import Part
from service.schemas.gate import _TYPES, passed
from service.schemas.loading import load, validate

SHARE = float(os.environ.get("PROVE_SHARE", "1"))
BODIES = {"example": json.dumps(SMALL_ROOF).encode(), **{name: read_design(name) for name in design_names()}}
TEXT = BODIES["example"].decode()


def agreed(body: bytes) -> bool:
    """Whether the gate takes a body; raises unless the schemas then take it too and make the same of it, to the type and the sign of 0."""
    taken = passed(body)
    if taken is None:
        return False
    accepted = validate(read(body))
    assert taken == accepted
    assert canonical(taken) == canonical(accepted)
    return True


@pytest.mark.parametrize("body", BODIES.values(), ids=BODIES)
@pytest.mark.parametrize("layout", [{"separators": (",", ":")}, {"indent": 2}, {"indent": "\t", "sort_keys": True}, {}])
def test_good_designs_pass_however_they_are_laid_out(body: bytes, layout: dict[str, Any]) -> None:
    assert agreed(json.dumps(json.loads(body), ensure_ascii=False, **layout).encode())


@pytest.mark.parametrize("body", BODIES.values(), ids=BODIES)
def test_both_ways_lead_to_one_design(body: bytes) -> None:
    assert load(body.replace(b'"format"', b'"\\u0066ormat"')) == load(body)


def put(pointer: str, value: Any) -> bytes:
    design: Any = copy.deepcopy(SMALL_ROOF)
    *way, last = [int(step) if step.isdecimal() else step for step in pointer.split("/")[1:]]
    holder = design
    for step in way:
        holder = holder[step]
    holder[last] = value
    return json.dumps(design, ensure_ascii=False).encode()


@pytest.mark.parametrize(
    ("pointer", "value"),
    [
        ("/title", None), ("/site", {}), ("/site", {"country": None}), ("/actions/0/loads/0/face", None), ("/members/0/plies", 2), ("/bracing", "none"),
        ("/bracing", []), ("/bracing", {"none_because": "x"}), ("/members/0/treatment", "none"), ("/codes", {"as_of": "2026-02-28"}),
        ("/members/0/treatment", {"against": ["decay"], "class": "UC2"}), ("/members/0/ends", {"start": {"knm_per_rad": 1}, "end": "rigid"}),
        ("/members/0/restraint_spacing", {"top_edge_mm": "none", "in_plane_mm": 5}), ("/codes", {"parameters": {"γ": {"value": "yes", "reason": "r"}}}),
        ("/codes", {"levels": {"a/b": "note"}}), ("/members/0/section", {"area_mm2": 1, "second_moment_mm4": 1, "modulus_mm3": 1, "declared": {"basis": "design"}}),
        ("/actions/0/loads/0", {"node": "A", "x_kn": 1}), ("/actions/0/loads/0", {"member": "T", "point_kn": 1, "anywhere": True, "at_mm": None}),
        ("/reference", "größer ≥ 3"), ("/spacing_mm", 0.1), ("/count", 12),
    ],
)  # fmt: skip
def test_every_kind_of_field_passes(pointer: str, value: Any) -> None:
    assert agreed(put(pointer, value))


@pytest.mark.parametrize(
    "body",
    [
        TEXT.replace('"count"', '"x"', 1)[:-1] + ',"title":"a"}' if '"title"' in TEXT else "", TEXT[:-1] + ',"count":1,"count":2}',
        TEXT[:-1] + ',"count":null,"count":2}', TEXT[:-1] + ',"count":2,"count":null}', TEXT[:-1] + ',"count":1,"c\\u006funt":2}',
        TEXT.replace("Boathouse,", "Boathouse\\u003a", 1)[:-1] + ',"count":1,"count":2}', TEXT.replace("Boathouse,", ":::", 1)[:-1] + ',"count":1,"count":2}',
        "\ufeff" + TEXT, TEXT + "x", TEXT + TEXT, TEXT[:-1], "", "[]", "null", "1", TEXT[:-1] + ',"spacing_mm":NaN}', TEXT[:-1] + ',"load_width_mm":1e400}',
    ],
)  # fmt: skip
def test_what_could_mean_two_things_is_doubted(body: str) -> None:
    assert passed(body.encode()) is None


@pytest.mark.parametrize(
    ("pointer", "value"),
    [
        ("/nodes/0/x_mm", -0.0), ("/nodes/0/x_mm", -1e-320), ("/nodes/0/x_mm", "0"), ("/nodes/0/x_mm", True), ("/nodes/0/x_mm", 1e7), ("/nodes/0/x_mm", None), ("/count", 1.5),
        ("/count", 0), ("/members/0/id", "A\n"), ("/members/0/id", " A"), ("/members/0/id", "A\u202e"), ("/members/0/id", ""), ("/members/0/id", "x" * 65),
        ("/members/0/nodes", ["A"]), ("/members/0/section", {}), ("/members/0/section", {"b_mm": 1}), ("/actions/0/loads/0/node", "A"),
        ("/members/0/section", {"b_mm": 1, "h_mm": 1, "area_mm2": 1}), ("/actions/0/loads/0", {"member": "T", "node": None, "point_kn": 1}),
        ("/codes", {"as_of": "2026-02-30"}), ("/codes", {"as_of": "2026-2-3"}), ("/x", 1), ("/codes", {"levels": {"ab": "note"}}),
        ("/codes", {"parameters": {"": {"value": 1, "reason": "r"}}}), ("/bracing", "some"), ("/actions/0/nature", "Snow"), ("/title", "a\u007fb"),
    ],
)  # fmt: skip
def test_what_the_schemas_refuse_does_not_pass(pointer: str, value: Any) -> None:
    assert passed(put(pointer, value)) is None


def kinds(schema: type[Schema]) -> Iterator[tuple[str, fields.Field[Any]]]:
    """Every field below a schema, each schema once."""
    waiting, seen = [schema], set()
    while waiting:
        here = waiting.pop()
        if here not in seen:
            seen.add(here)
            for name, each in here().load_fields.items():
                yield f"{here.__name__}.{name}", each
                waiting += [type(inner.schema) for inner in inside(each) if isinstance(inner, Part)]


def inside(field: fields.Field[Any]) -> Iterator[fields.Field[Any]]:
    yield field
    inner = [*getattr(field, "options", {}).values(), getattr(field, "inner", None), getattr(field, "value_field", None)]
    for each in inner:
        if isinstance(each, fields.Field):
            yield from inside(each)


@pytest.mark.parametrize(("name", "field"), [pytest.param(name, each, id=name) for name, each in kinds(DesignSchema)])
def test_the_gate_knows_every_kind_of_field(name: str, field: fields.Field[Any]) -> None:
    assert {type(each) for each in inside(field)} <= set(_TYPES), name


VALUES = st.one_of(
    st.none(), st.booleans(), st.integers(-3, 2**70), st.floats(-1e7, 1e7), st.floats(), st.text(max_size=6),
    st.sampled_from(["A ", "A\n", "\u202e", "none", "pinned", "2026-11-25", "free", "x" * 65, "GB", "a/b", "down", "", ":", '"', "null", "{}"]),
    st.lists(st.integers(0, 2) | st.sampled_from(["x", "A"]), max_size=4),
    st.sampled_from([{}, {"knm_per_rad": 1}, {"none_because": "r"}, {"b_mm": 1, "h_mm": 1}, {"a/b": "note"}, {"k": {"value": 1, "reason": "r"}}]),
)  # fmt: skip


@st.composite
def changed(draw: st.DrawFn) -> bytes:
    """A body of a good design with up to three values changed, taken out or added, in some layout, and sometimes a byte of it changed."""
    design: Any = json.loads(BODIES[draw(st.sampled_from(sorted(BODIES)))])
    for _ in range(draw(st.integers(0, 3))):
        change(design, draw, VALUES.map(copy.deepcopy))
    body = bytearray(
        json.dumps(design, ensure_ascii=draw(st.booleans()), indent=draw(st.sampled_from([None, 0, 2]))).encode("utf-8", "replace")
    )
    if draw(st.integers(0, 3)) == 0:
        body[draw(st.integers(0, len(body) - 1))] = draw(st.integers(0, 255) | st.sampled_from(list(b'",:{}[]\\-0 n')))
    return bytes(body)


EASY = settings(max_examples=500, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])


@EASY
@given(changed())
@example(BODIES["example"])
def test_whatever_passes_is_what_the_schemas_make_of_it(body: bytes) -> None:
    agreed(body)


@pytest.fixture(scope="module")
def counted() -> Iterator[Counter[bool]]:
    """How many bodies the gate took, and how many it left to the schemas; printed at the end."""
    told: Counter[bool] = Counter()
    yield told
    print(f"\ngate: {told.total()} bodies, {told[True]} taken with the schemas' own result, {told[False]} left to the schemas")


@pytest.mark.prove
@settings(EASY, max_examples=int(100_000 * SHARE) + 1)
@given(changed())
def test_a_hundred_thousand_times(counted: Counter[bool], body: bytes) -> None:
    counted[agreed(body)] += 1


@pytest.mark.prove
def test_as_often_as_is_claimed(counted: Counter[bool]) -> None:
    assert counted.total() >= int(100_000 * SHARE)
    assert min(counted[True], counted[False]) > counted.total() // 100
