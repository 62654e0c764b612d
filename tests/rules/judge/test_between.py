"""Who asks for a check can end it between its steps; the core knows no clock of its own."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest

from rules.judge import along, analyse, check
from service.schemas import load

TODAY = datetime.date(2026, 11, 26)
DEMO = Path(__file__).parents[3] / "service" / "demo" / "designs"


class Ended(Exception):
    """No fault of any rule."""


class EndedAfter:
    """Raises the given time it is called."""

    def __init__(self, calls):
        self.calls, self.left = 0, calls

    def __call__(self):
        self.calls += 1
        if self.calls == self.left:
            raise Ended


@pytest.fixture(scope="module")
def joist():
    return load((DEMO / "solid-joist.json").read_bytes())


@pytest.mark.parametrize("way", [check, analyse])
def test_whichever_call_raises_ends_it_and_is_no_open_judgement(way, joist, library):
    counted = EndedAfter(0)
    way(joist, library, as_of=TODAY, between=counted)
    assert counted.calls >= 4
    for call in range(1, counted.calls + 1):
        with pytest.raises(Ended):
            way(joist, library, as_of=TODAY, between=EndedAfter(call))


def test_a_check_of_many_parts_asks_at_each(library, monkeypatch):
    rafter, usual, often = load((DEMO / "fink.json").read_bytes()), EndedAfter(0), EndedAfter(0)
    check(rafter, library, as_of=TODAY, between=usual)
    monkeypatch.setattr(along, "CELLS", 700)
    check(rafter, library, as_of=TODAY, between=often)
    assert often.calls > usual.calls


def test_nothing_is_kept_of_what_was_ended(joist, library):
    known = {}
    with pytest.raises(Ended):
        check(joist, library, as_of=TODAY, known=known, between=EndedAfter(3))
    assert not known
