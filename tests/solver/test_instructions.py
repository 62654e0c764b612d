"""The count of instructions says plainly when it cannot count, and counts what the benchmark measures."""

import runpy
import sys
from pathlib import Path

import pytest

INSTRUCTIONS = runpy.run_path(str(Path(__file__).with_name("instructions.py")))


def test_without_valgrind_it_says_so(monkeypatch, capsys):
    monkeypatch.setattr("shutil.which", lambda _name: None)
    assert INSTRUCTIONS["main"]() == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert "valgrind is not installed; nothing was counted" in told.err
    assert "apt-get install valgrind" in told.err


@pytest.mark.parametrize("name", ["fink", "joist"])
def test_what_is_counted_runs(name, monkeypatch):
    monkeypatch.setattr(sys, "path", list(sys.path))
    monkeypatch.setattr("gc.disable", lambda: None)
    counted = []

    def count(work, words):
        work()
        counted.append(words)

    INSTRUCTIONS["run"](name, count)
    assert counted == ["first", "nothing", *INSTRUCTIONS["WORDS"]]
