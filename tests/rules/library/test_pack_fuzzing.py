"""Pack files spoilt at random: nothing crashes, nothing hangs, and what is taken is what a second reader and the published schema take."""

from __future__ import annotations

import datetime
import json
import random
import time
from collections import Counter
from pathlib import Path
from typing import Any

import jsonschema_rs
import pytest
from ruamel.yaml import YAML
from ruamel.yaml.error import YAMLError

from rules.library.json_schemas import SHAPES, json_schema, schema_of
from rules.library.reading import PackSource, read_pack
from rules.library.skeleton import skeleton
from rules.library.yaml_source import PackRefused, read_yaml

GOOD = {name: text for name, text in skeleton("hill-practice", "What the hill asks").items() if not name.startswith(".")}
GOOD["materials.yaml"] = """\
citations:
  listing: {clause: Table 1, seen: practice}
grades:
  - {id: H1, kind: solid-timber, softwood: true, cite: listing, properties: {f_m_k_mpa: 18.0, rho_k_kg_per_m3: 320.0}}
"""
GOOD["pack.yaml"] += (
    "tradition: hill\nstarts: 2026-01-01\nregions: [GB-ENG]\nexpected:\n  cut-roof: [{id: snow, what: snow, natures: [snow], ask: Which?}]\n"
)
GOOD["values.yaml"] += """\
- name: rows_by_span
  symbol: n
  unit: "1"
  what: rows by span
  by: [span_mm]
  rows:
    - [{up_to: 2500}, 0]
    - [{above: 2500}, 1]
  cite: {clause: page 4, seen: practice}
"""
VALIDATORS = {name: jsonschema_rs.validator_for(json_schema(name)) for name in SHAPES}
ODD = [*"[]{}:,-#&*!|>'\"%@`?\\\t\n ~", "0", "9", "\x00", "\x85", "\u2028", "\ufeff", "é", "\U0001f332", "---", "...", "<<", "!!python/name:os.system", "1e999", ".nan",
       "null", "yes", "true", "2026-02-30", "9" * 400, "&a", "*a", "a: 1", "- ", "${x}", "design.span_mm", "&&", "||", "((((", "value.", "1.0", "/0.0", "[" * 300, "{a: " * 50]  # fmt: skip
REQUIRED = {
    "pack.yaml": ("id", "title", "layer", "document", "edition", "release", "engine", "what"),
    "declared/webs-deep-enough.yaml": (
        "id",
        "title",
        "scope",
        "severity",
        "purpose",
        "why",
        "demand",
        "limit",
        "message",
        "cite",
        "examples",
    ),
    "materials.yaml": ("citations", "grades"),
}
BESIDE = {
    "declared/webs-deep-enough.yaml": ("pack.yaml", "values.yaml"),
    "pack.yaml": (),
    "values.yaml": ("pack.yaml",),
    "materials.yaml": ("pack.yaml",),
}
"""What each file is read with."""

SLOWEST_S = 5.0


def spoilt(chance: random.Random, text: str) -> str:
    """A few small random changes."""
    for _ in range(chance.randint(1, 4)):
        at, lines = chance.randrange(len(text) + 1), text.split("\n")
        k = chance.randrange(len(lines))
        match chance.randrange(8):
            case 0:
                text = text[:at] + chance.choice(ODD) + text[at:]
            case 1:
                text = text[:at] + text[at + chance.randint(1, 12) :]
            case 2:
                text = text[:at]
            case 3:
                text = "\n".join([*lines[:k], *lines[k + 1 :]])
            case 4:
                text = "\n".join([*lines[: k + 1], *lines[k:]])
            case 5:
                text = "\n".join([*lines[:k], " " * chance.randint(1, 3) + lines[k], *lines[k + 1 :]])
            case 6:
                text = text[:at] + chr(chance.randrange(0x500)) + text[at + 1 :]
            case 7:
                key, colon, _ = lines[k].partition(": ")
                text = "\n".join([*lines[:k], key + colon + chance.choice(ODD), *lines[k + 1 :]])
    return text


def malformed(chance: random.Random, file: str, text: str) -> str:
    """A file that no reader may take: a required key gone, written twice, misspelt, or holding what cannot stand there."""
    key, lines = chance.choice(REQUIRED[file]), text.split("\n")
    k = next(i for i, line in enumerate(lines) if line.startswith(f"{key}:"))
    end = next((i for i in range(k + 1, len(lines)) if lines[i] and lines[i][0] not in " #-"), len(lines))
    own = lines[k:end]
    match chance.randrange(4):
        case 0:
            put = []
        case 1:
            put = own + own
        case 2:
            put = [f"{key}_{chance.choice('abc')}" + own[0][len(key) :], *own[1:]]
        case _:
            put = [f"{key}: {chance.choice(['[[x]]', '{x: {y: 1}}', 'true', '', '2026-01-01', '!!set {x}'])}"]
    return "\n".join([*lines[:k], *put, *lines[end:]])


def as_json(value: Any) -> Any:
    """Days as text, which is what a schema of JSON sees of them."""
    return json.loads(json.dumps(value, default=lambda each: each.isoformat() if isinstance(each, datetime.date) else str(each)))


def agreed(file: str, text: str) -> None:
    """Raise unless a second reader reads the same, and the published schema takes it.

    Tabs between words become blanks first: YAML allows them there, and the second reader does not.
    """
    text = text.replace("\t", " ")
    read = as_json(YAML(typ="safe", pure=True).load(text))
    assert as_json(read_yaml(text, file).data) == read
    VALIDATORS[schema_of(file) or ""].validate(read)


def fuzzed(count: int, seed: int) -> Counter[str]:
    """How often each thing happened in `count` spoilt packs."""
    chance, told = random.Random(seed), Counter[str]()
    for k in range(count):
        sure = k % 4 == 0
        file = chance.choice(list(REQUIRED) if sure else list(GOOD))
        text = malformed(chance, file, GOOD[file]) if sure else spoilt(chance, GOOD[file])
        began = time.process_time()
        try:
            read_pack(PackSource(Path("hill"), files={name: GOOD[name] for name in BESIDE[file]} | {file: text}))
        except PackRefused as refusal:
            told["without words"] += sum(not fault.message for fault in refusal.faults)
            told["refused"] += 1
        else:
            assert not sure, f"taken: {file}\n{text}"
            try:
                agreed(file, text)
            except (AssertionError, YAMLError, ValueError) as error:
                raise AssertionError(f"{file} is taken, and elsewhere refused ({error}):\n{text}") from error
            told["taken"] += 1
        taken = time.process_time() - began
        assert taken < SLOWEST_S, f"{taken:.1f} s: {file}\n{text}"
        told["slowest ms"] = max(told["slowest ms"], round(1000 * taken))
    return told


def test_the_pack_that_is_spoilt_is_sound() -> None:
    assert read_pack(PackSource(Path("hill"), files=GOOD)).pack.id == "hill-practice"
    for file, text in GOOD.items():
        agreed(file, text)


def test_a_thousand_spoilt_packs() -> None:
    told = fuzzed(1000, seed=1)
    assert told["refused"] > 500
    assert told["taken"] > 20
    assert told["without words"] == 0


@pytest.mark.prove
@pytest.mark.parametrize("seed", range(10))
def test_a_hundred_thousand_spoilt_packs(seed: int) -> None:
    told = fuzzed(10_000, seed=100 + seed)
    assert told["refused"] > 5000
    print(f"\nseed {seed}: {dict(told)}")
