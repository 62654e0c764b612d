"""The first line of each shipped pack file leads an editor to its schema, on any machine and without a network."""

from __future__ import annotations

import re
from pathlib import Path

import jsonschema_rs
import pytest

import rules.packs
from rules.library.json_schemas import SHAPES, json_schema, schema_of, written
from rules.library.yaml_source import read_yaml

PACKS = Path(rules.packs.__file__).parent
FILES = sorted(file for pack in PACKS.glob("*/pack.yaml") for file in pack.parent.rglob("*.yaml"))
VALIDATORS = {name: jsonschema_rs.validator_for(json_schema(name)) for name in SHAPES}


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.relative_to(PACKS).as_posix())
def test_the_first_line_leads_to_the_schema_which_takes_the_file(file):
    text = file.read_text("utf-8")
    name = schema_of(file.relative_to(PACKS / file.relative_to(PACKS).parts[0]).as_posix())
    found = re.match(r"# yaml-language-server: \$schema=(\S+)\n", text)
    assert found, (
        f"write as the first line: # yaml-language-server: $schema={'../' * (len(file.relative_to(PACKS).parts) - 1)}.schemas/{name}.json"
    )
    assert (file.parent / found[1]).resolve() == PACKS / ".schemas" / f"{name}.json"
    assert VALIDATORS[name].is_valid(plain(read_yaml(text, file.name).data))


def plain(data):
    """Days as JSON has them."""
    if isinstance(data, dict):
        return {key: plain(value) for key, value in data.items()}
    return (
        [plain(each) for each in data] if isinstance(data, list) else data if isinstance(data, (str, int, float, type(None))) else str(data)
    )


@pytest.mark.parametrize("name", SHAPES)
def test_the_schemas_beside_the_packs_are_those_of_this_release(name):
    text = (PACKS / ".schemas" / f"{name}.json").read_text("utf-8")
    assert text == written(name), f"renew it: birdsmouth packs schema {name} > rules/packs/.schemas/{name}.json"
