"""The page for pack authors shows a pack that loads, and names every function and key there is."""

from __future__ import annotations

import re
from pathlib import Path

import rules.packs
from rules.library.expression_text import FUNCTIONS, METHODS
from rules.library.reading import PackSource, read_pack

PAGE = Path(rules.packs.__file__).with_name("README.md").read_text("utf-8")


def test_the_pack_it_shows_is_sound(folder):
    files = dict(re.findall(r"^`([\w/.-]+\.yaml)`\n\n```yaml\n(.*?)^```", PAGE, re.MULTILINE | re.DOTALL))
    assert set(files) == {"pack.yaml", "values.yaml", "declared/boards-want-noggins.yaml"}
    pack = read_pack(PackSource(folder("shown", files))).pack
    assert pack.id == "oak-hill-practice"
    assert [rule.slug for rule in pack.declared] == ["boards-want-noggins"]


def test_it_names_every_function():
    assert [name for name in FUNCTIONS if f"`{name}" not in PAGE] == []
    assert [name for name in METHODS if f"`.{name}`" not in PAGE] == []
