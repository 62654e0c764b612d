"""The example of rules/README.md runs and prints what it says."""

from __future__ import annotations

import contextlib
import io
import re
from pathlib import Path

README = Path(__file__).parents[2] / "rules" / "README.md"


def test_the_example_prints_what_it_says():
    text = README.read_text("utf-8")
    (code,) = re.findall(r"```python\n(.*?)```", text, re.DOTALL)
    (printed,) = re.findall(r"```text\n(.*?)```", text, re.DOTALL)
    out = io.StringIO()
    with contextlib.redirect_stdout(out):
        exec(compile(code, str(README), "exec"), {})
    assert out.getvalue() == printed
