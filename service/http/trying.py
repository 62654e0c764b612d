"""The frame every process is tried on before it is called ready: two rafters and a tie whose reactions anybody can add up."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from functools import cache
from typing import Any

from rules.judge.options import Options
from rules.library.loading import Library
from rules.subject.design import Design
from service.engine import Engine
from service.openapi.examples import SMALL_ROOF
from service.problems import KINDS, Problem, Refusal
from service.schemas import to_design

SNOW_ON_EACH_BEARING_KN = 0.36 * 4.0 / 2.0
"""0.36 kN on each metre of plan, 4 m wide, shared by two bearings."""
_DAY, _CLOSE = datetime.date(2026, 11, 25), 1e-6


def try_out(engine: Engine, library: Library) -> None:
    """Raise Refusal (503) unless the frame balances and both bearings carry their half of the snow."""
    try:
        response = engine.analyse(_design(), library, as_of=_DAY, options=Options())["response"]
        held = [reaction["y_kn"] for reaction in response["reactions"] if reaction["action"] == "snow"]
        right = bool(response["balanced"]) and len(held) == 2 and all(abs(each - SNOW_ON_EACH_BEARING_KN) < _CLOSE for each in held)
    except Exception:
        right = False
    if not right:
        raise Refusal(Problem(KINDS["not-ready"], "A frame whose forces are known does not come out right.", headers={"Retry-After": "30"}))


@cache
def _design() -> Design:
    roof: Mapping[str, Any] = SMALL_ROOF
    return to_design(roof)
