"""The options a check takes in its address."""

from __future__ import annotations

from collections.abc import Sequence
from typing import get_args

from rules.judge.options import Include, Options, ResponsePart, Working
from service.schemas.fields import DocumentSchema, Word

_AS_A_RULE = Options()


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
