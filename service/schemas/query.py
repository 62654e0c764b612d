"""The options a check takes in its address."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, ClassVar, get_args

from rules.judge.options import Include, Options, ResponsePart, Units, Working
from service.formats.dressing import Reader
from service.schemas.bounds import Pattern
from service.schemas.fields import DocumentSchema, Text, Word

_AS_A_RULE = Options()
PATH = Pattern(
    r"^(?![/ ])(?!(?:.*/)?\.\.?(?:/|$))[^\\:\u0000-\u001f\u007f-\u009f\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff]*(?<! )$",
    "a path below the root of the work tree, with / between its parts and neither .. nor : in it",
)


class Option(Word):
    """One word of a closed list, taken as `default` when the address does not name it. An address has no null."""

    def __init__(self, description: str, choices: Sequence[str], default: str) -> None:
        super().__init__(description, choices)
        self.allow_none = False
        self.metadata = {"description": description, "default": default}


class QuerySchema(DocumentSchema):
    """What of the report is wanted. Nothing here changes a judgement."""

    include = Option(
        "Which findings: all but passes and those not applicable, plus each element's governing pass; or all.",
        get_args(Include),
        _AS_A_RULE.include,
    )
    working = Option(
        "Whose working is shown: of the governing finding of each element, of every finding, or of none.",
        get_args(Working),
        _AS_A_RULE.working,
    )
    response = Option(
        "How much of the analysis is given: reactions per action and envelopes, combinations too, or none of it.",
        get_args(ResponsePart),
        _AS_A_RULE.response,
    )
    units = Option(
        "Units of messages, and of text, Markdown and pages made for people: si, or us (inch, foot, pound). Numbers of JSON are always SI.",
        get_args(Units),
        _AS_A_RULE.units,
    )


class CheckQuerySchema(QuerySchema):
    """What of the report is wanted, and what the design's file is called where it came from."""

    source = Text(
        "Path of the file the design came from, for formats whose findings point into files (SARIF, JUnit) and as a heading in the others. "
        "Never opened, and no part of the JSON report.",
        "designs/t04.json", longest=300, pattern=PATH,
    )  # fmt: skip

    class Meta(QuerySchema.Meta):
        include: ClassVar[dict[str, Any]] = {
            "for": Option(
                "For whom: the designer gets the report; the builder gets one page with bracing, bearings and cautions, as HTML, PDF or text.",
                get_args(Reader),
                get_args(Reader)[0],
            )
        }

    def __init__(self, **options: Any) -> None:
        super().__init__(**options)
        self.fields["source"].allow_none = False
