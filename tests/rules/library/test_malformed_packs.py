"""Packs with one thing wrong each: the fault is named at its file, line and column, and nothing else is."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from ruamel.yaml import YAML

from rules.library.reading import PackSource, read_pack
from rules.library.yaml_source import PackFault, PackRefused

MALFORMED: list[dict[str, Any]] = YAML(typ="safe", pure=True).load(Path(__file__).with_name("malformed_packs.yaml").read_text("utf-8"))


def spoil(pack: Path, case: dict[str, Any]) -> None:
    file = pack / case["file"]
    if case.get("remove"):
        file.unlink()
    elif "bytes" in case:
        file.write_bytes(bytes.fromhex(case["bytes"]))
    elif "find" in case:
        text = file.read_text("utf-8")
        assert text.count(case["find"]) == 1, case["find"]
        file.write_text(text.replace(case["find"], case["put"]), "utf-8")
    else:
        file.parent.mkdir(exist_ok=True)
        file.write_text(case["put"], "utf-8")


def fits(fault: PackFault, expected: str) -> bool:
    place, _, said = expected.partition(" ")
    return f"{fault.file}:{fault.line}:{fault.column}" == place and said in str(fault)


@pytest.mark.parametrize("case", MALFORMED, ids=lambda case: case["name"])
def test_the_fault_is_named_where_it_is(good_pack: Path, case: dict[str, Any]) -> None:
    spoil(good_pack, case)
    with pytest.raises(PackRefused) as refusal:
        read_pack(PackSource(good_pack))
    said = [str(fault) for fault in refusal.value.faults]
    for expected in case["expect"]:
        assert any(fits(fault, expected) for fault in refusal.value.faults), said
    assert len(said) == len(case["expect"]), said


def test_there_are_at_least_forty() -> None:
    assert len(MALFORMED) >= 40


def test_the_pack_they_spoil_is_sound(good_pack: Path) -> None:
    pack = read_pack(PackSource(good_pack)).pack
    assert [rule.id for rule in pack.declared] == ["mill-practice/short-spans"]
    assert [value.name for value in pack.values] == ["span_max_mm", "webs"]


def test_all_faults_of_a_pack_come_at_once(good_pack: Path) -> None:
    for case in MALFORMED:
        if case["name"] in ("a release of two numbers", "a value without its unit", "a misspelled fact", "Python in a mounted pack"):
            spoil(good_pack, case)
    with pytest.raises(PackRefused) as refusal:
        read_pack(PackSource(good_pack))
    assert [fault.file for fault in refusal.value.faults] == ["combine.py", "declared/short-spans.yaml", "pack.yaml", "values.yaml"]
