"""The example of the solver's README runs and prints what the README says."""

import re
from pathlib import Path

import solver


def test_example(capsys):
    text = (Path(solver.__file__).parent / "README.md").read_text(encoding="utf-8")
    code, printed = re.findall(r"```(?:python|text)\n(.*?)```", text, flags=re.DOTALL)
    exec(compile(code, "README.md", "exec"), {})  # our own page
    assert capsys.readouterr().out == printed


def test_every_module_is_mentioned_or_plumbing():
    text = (Path(solver.__file__).parent / "README.md").read_text(encoding="utf-8")
    plumbing = {"analyse", "balance", "checks", "contact", "faults", "frame", "graph", "layout", "modes", "refine", "second", "__init__"}
    modules = {path.stem for path in Path(solver.__file__).parent.glob("*.py")}
    assert {name for name in modules - plumbing if f"`{name}`" not in text} == set()
