"""The shape of a pack's files: what may stand in them, told once."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from marshmallow import RAISE, Schema, fields, validate, validates_schema
from marshmallow.exceptions import ValidationError
from packaging.specifiers import InvalidSpecifier, SpecifierSet

from rules.library.rule import Purpose, Scope
from rules.library.shape_fields import Day, Formula, Number, Result, Row, Scalar, Text, Yes
from rules.subject.actions import NATURES
from rules.subject.design import COMPONENT_TYPES
from rules.subject.material import KINDS

ENGINE_API = "1.0"
"""Version of what packs may rely on; a pack's `engine` is a specifier that must hold it."""

LAYERS = ("code", "grades", "national", "region", "practice")
"""The order in which packs speak: later layers may override numbers of earlier ones."""

SLUG = re.compile(r"^[a-z][a-z0-9]*(-[a-z0-9]+)*$")
NAME = re.compile(r"^[a-z][a-z0-9_]*$")
EDITION = re.compile(r"^[^@=\s]+( [^@=\s]+)*$")
"""What can stand in a pin between == and @."""
RELEASE = re.compile(r"^\d+\.\d+\.\d+$")
REGION = re.compile(r"^[A-Z]{2}(-[A-Z0-9]{1,3})?$")
PROPERTY = re.compile(r"^[a-z][a-z0-9_]*_(mpa|kg_per_m3)$")


def _slug(what: str) -> validate.Regexp:
    return validate.Regexp(SLUG, error=f"{what} is lower-case words joined by hyphens, not {{input!r}}")


def _name(what: str) -> validate.Regexp:
    return validate.Regexp(NAME, error=f"{what} is lower-case letters, digits and underscores, not {{input!r}}")


def _one_of(words: tuple[str, ...]) -> validate.OneOf:
    return validate.OneOf(words, error="{input!r} is none of {choices}")


def _texts(**kwargs: Any) -> fields.List[str]:
    return fields.List(Text(**kwargs), load_default=[])


class Strict(Schema):
    """Refuses keys it does not know."""

    class Meta:
        unknown = RAISE


class CitationShape(Strict):
    """Where something stands, and how far it was seen."""

    clause = Text(required=True)
    equation = Text(load_default=None)
    seen = Text(required=True, validate=_one_of(("read", "memory", "practice")))
    document = Text(load_default=None)
    edition = Text(load_default=None)
    source = Text(load_default=None)

    @validates_schema(skip_on_field_errors=True)
    def _whole(self, data: Mapping[str, Any], **_: Any) -> None:
        if (data["document"] is None) != (data["edition"] is None):
            raise ValidationError("document and edition stand together or not at all")
        if data["seen"] == "read" and data["source"] is None:
            raise ValidationError("what was read has a source: the address or book where it was read", "seen")


def _engine(value: str) -> None:
    try:
        SpecifierSet(value)
    except InvalidSpecifier as error:
        raise ValidationError(f'{value!r} is no version specifier such as ">=1.0,<2"') from error


class ExpectedShape(Strict):
    """An action that a component type calls for."""

    id = Text(required=True, validate=_slug("an expectation's id"))
    what = Text(required=True)
    natures = fields.List(Text(validate=_one_of(NATURES)), required=True, validate=validate.Length(min=1))
    ask = Text(required=True)
    roles = _texts()
    form = Text(load_default=None, validate=_one_of(("line", "point")))
    named = Text(load_default=None)
    at_least = Number(load_default=1.0, validate=validate.Range(min=1, error="at least one"))
    on_two_slopes = Number(load_default=1.0, validate=validate.Range(min=1, error="at least one"))


class StandingShape(Strict):
    """A choice the pack makes for every design alike, shown among what the report assumes."""

    pointer = Text(required=True)
    value = Scalar(required=True)
    because = Text(required=True)
    confirm = Text(load_default="designer", validate=_one_of(("designer", "engineer", "site")))


class PackShape(Strict):
    """pack.yaml: what the pack is, where and when it holds, what it leans on, what it leaves out."""

    id = Text(required=True, validate=_slug("a pack's id"))
    title = Text(required=True)
    layer = Text(required=True, validate=_one_of(LAYERS))
    tradition = Text(load_default=None, validate=_slug("a tradition"))
    document = Text(required=True)
    edition = Text(required=True, validate=validate.Regexp(EDITION, error="an edition is words without @ and =, not {input!r}"))
    release = Text(required=True, validate=validate.Regexp(RELEASE, error="a release is three numbers such as 1.0.0, not {input!r}"))
    engine = Text(required=True, validate=_engine)
    what = Text(required=True)
    starts = Day(load_default=None, allow_none=True)
    ends = Day(load_default=None, allow_none=True)
    regions = _texts(validate=validate.Regexp(REGION, error="a region is an ISO 3166 code such as GB or GB-ENG, not {input!r}"))
    elsewhere = _texts(validate=validate.Regexp(REGION, error="a region is an ISO 3166 code such as GB or GB-ENG, not {input!r}"))
    component_types = _texts(validate=_one_of(COMPONENT_TYPES))
    builds_on = _texts(validate=_slug("a pack's id"))
    required = Yes(load_default=False)
    expected = fields.Dict(
        keys=Text(validate=_one_of(COMPONENT_TYPES)), values=fields.List(fields.Nested(ExpectedShape)), load_default=dict
    )
    assumptions = fields.List(fields.Nested(StandingShape), load_default=[])
    leaves_choices = Yes(load_default=True)
    not_covered = _texts()

    @validates_schema(skip_on_field_errors=True)
    def _order(self, data: Mapping[str, Any], **_: Any) -> None:
        if data["starts"] and data["ends"] and data["starts"] >= data["ends"]:
            raise ValidationError("the pack ends before it starts", "ends")


class ValueShape(Strict):
    """One entry of values.yaml: a named number, or a table of them."""

    name = Text(required=True, validate=_name("a value's name"))
    symbol = Text(required=True)
    unit = Text(required=True)
    what = Text(required=True)
    cite = fields.Nested(CitationShape, required=True)
    value = Result()
    one_of = fields.List(Text())
    by = fields.List(Text(validate=_name("a key's name")), validate=validate.Length(min=1, error="a table has at least one key"))
    rows = fields.List(Row(), validate=validate.Length(min=1, error="a table has at least one row"))
    starts = Day(load_default=None, allow_none=True)
    ends = Day(load_default=None, allow_none=True)
    overrides = Text(load_default=None, validate=_slug("a pack's id"))

    @validates_schema(skip_on_field_errors=True)
    def _either(self, data: Mapping[str, Any], **_: Any) -> None:
        if ("value" in data) == ("rows" in data):
            raise ValidationError("a value has either `value` or `by` and `rows`")
        if ("by" in data) != ("rows" in data):
            raise ValidationError("`by` and `rows` stand together")
        if data["starts"] and data["ends"] and data["starts"] >= data["ends"]:
            raise ValidationError("the value ends before it starts", "ends")
        if "one_of" in data and data.get("value") not in data["one_of"]:
            raise ValidationError("the value is none of its own choices", "one_of")


def _property() -> validate.Regexp:
    return validate.Regexp(PROPERTY, error="{input!r} does not end in its unit (_mpa, _kg_per_m3)")


class ReferenceShape(Strict):
    """One of the reference values that every grade of the tradition states."""

    field = Text(required=True, validate=_property())
    symbol = Text(required=True)
    what = Text(required=True)


class GradeShape(Strict):
    """One grade: what it is, and its reference values."""

    id = Text(required=True, validate=validate.Length(max=32))
    kind = Text(required=True, validate=_one_of(KINDS))
    softwood = Yes(load_default=None, allow_none=True)
    family = Text(load_default=None)
    cite = Text(required=True)
    properties = fields.Dict(
        keys=Text(validate=_property()),
        values=Number(validate=validate.Range(min=0, min_inclusive=False, error="a reference value is above nought")),
        required=True,
    )


class MaterialsShape(Strict):
    """materials.yaml: the reference values of the tradition, the citations by a short name, then the grades that name one."""

    reference = fields.List(fields.Nested(ReferenceShape), load_default=[])
    citations = fields.Dict(keys=fields.String(), values=fields.Nested(CitationShape), required=True)
    grades = fields.List(fields.Nested(GradeShape), required=True, validate=validate.Length(min=1))


class ClauseShape(Strict):
    """One entry of clauses.yaml: a clause of the document, and what becomes of it."""

    clause = Text(required=True)
    what = Text(required=True)
    judged_by = _texts(validate=_slug("a rule's id"))
    not_applicable = Text(load_default=None)
    not_implemented = Text(load_default=None)

    @validates_schema(skip_on_field_errors=True)
    def _one(self, data: Mapping[str, Any], **_: Any) -> None:
        if sum(bool(data[name]) for name in ("judged_by", "not_applicable", "not_implemented")) != 1:
            raise ValidationError("a clause has one of `judged_by`, `not_applicable` and `not_implemented`")


class UndecidedShape(Strict):
    """When the answer must wait, and what to ask."""

    when = Text(required=True)
    ask = Text(required=True)


class ExampleShape(Strict):
    """One worked row of facts, and what the rule must say about it; asks: words of the question, of an open one."""

    name = Text(required=True)
    given = fields.Dict(keys=fields.String(), values=Scalar(allow_none=True), required=True)
    expect = Text(required=True, validate=_one_of(("pass", "fail", "open", "review", "informational", "notApplicable")))
    asks = Text(load_default="")


class CaseShape(Strict):
    """One entry of formulas/<slug>.cases.yaml."""

    name = Text(required=True)
    part = Text(load_default="")
    given = fields.Dict(keys=fields.String(), values=Scalar(allow_none=True), required=True)
    expect = fields.Dict(keys=fields.String(), values=Number(), load_default=dict)
    kind = Text(required=True, validate=_one_of(("pass", "fail", "open", "review", "informational", "notApplicable")))
    tolerance = Number(load_default=1e-9, validate=validate.Range(min=0, max=0.1, error="a tolerance is relative, from 0 to 0.1"))
    source = Text(required=True)


class DeclaredShape(Strict):
    """declared/<slug>.yaml: a rule by an engineer who does not program."""

    id = Text(required=True, validate=_slug("a rule's id"))
    title = Text(required=True)
    scope = Text(required=True, validate=_one_of((Scope.DESIGN.value, Scope.MEMBER.value, Scope.SUPPORT.value, Scope.BRACE.value)))
    purpose = Text(required=True, validate=_one_of(tuple(each.value for each in Purpose if each is not Purpose.STRENGTH)))
    severity = Text(required=True, validate=_one_of(("error", "warning", "note")))
    mandatory = Yes(load_default=False)
    outcome = Text(load_default="fail", validate=_one_of(("fail", "review", "informational")))
    part = Text(load_default="")
    when = Text(load_default=None)
    because = Text(load_default=None)
    unless = Text(load_default=None)
    undecided = fields.List(fields.Nested(UndecidedShape), load_default=[])
    demand = Formula(load_default=None)
    limit = Formula(load_default=None)
    unit = Text(load_default=None)
    require = Text(load_default=None)
    message = Text(required=True)
    cite = fields.Nested(CitationShape, required=True)
    examples = fields.List(fields.Nested(ExampleShape), required=True)
    why = Text(required=True)
    remedies = _texts()

    @validates_schema(skip_on_field_errors=True)
    def _either(self, data: Mapping[str, Any], **_: Any) -> None:
        if (data["require"] is None) == (data["demand"] is None):
            raise ValidationError("a rule has either `require`, or `demand` and `limit`")
        if (data["demand"] is None) != (data["limit"] is None):
            raise ValidationError("`demand` and `limit` stand together")
        if data["require"] is not None and data["unit"] is not None:
            raise ValidationError("`unit` says what demand and limit are measured in; a rule with `require` has none", "unit")
        if data["when"] is None and data["because"] is not None:
            raise ValidationError(
                "`because` says why the rule does not apply where `when` does not hold; this one has no `when`", "because"
            )
