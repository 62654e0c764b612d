"""Every line of what a timber engineer insists on, of joints, bearings, bracing and floors, has something that fails when it no longer holds."""

from __future__ import annotations

import ast
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml

HERE = Path(__file__).parent
LINES = yaml.safe_load((HERE / "engineers_joints_floors.yaml").read_text("utf-8"))


@cache
def _tests_of(file: Path) -> frozenset[str]:
    tree = ast.parse(file.read_text("utf-8"))
    return frozenset(node.name for node in tree.body if isinstance(node, ast.FunctionDef) and node.name.startswith("test_"))


@pytest.mark.parametrize("entry", LINES, ids=[entry["line"][:60] for entry in LINES])
def test_every_line_is_held_by_something_that_is_there(entry: dict[str, Any], shipped_cases: set[str]) -> None:
    assert set(entry) <= {"heading", "line", "tests", "cases"}
    named = [*entry.get("tests", ()), *entry.get("cases", ())]
    assert named, "nothing holds this line"
    for node in entry.get("tests", ()):
        file, _, test = node.partition("::")
        assert test in _tests_of((HERE / file).resolve()), node
    assert set(entry.get("cases", ())) <= shipped_cases


@pytest.fixture(scope="session")
def shipped_cases(library) -> set[str]:
    """Every worked case of eurocode-timber as "rule: name"."""
    return {f"{case.slug}: {case.name}" for case in library.pack("eurocode-timber").cases}


def test_no_line_stands_twice_and_both_headings_are_there() -> None:
    lines = [entry["line"] for entry in LINES]
    assert len(set(lines)) == len(lines)
    assert {entry["heading"] for entry in LINES} == {"joints, bearings, bracing", "floors"}


def test_the_relief_for_a_small_load_touches_no_rule_of_buckling(library) -> None:
    """What any rule but bending with tension asks for, down to the last number, does not hold the relief."""
    pack = library.pack("eurocode-timber")
    book = {quantity.name: quantity for quantity in pack.quantities}

    def below(name: str) -> set[str]:
        return {name} | {deep for need in (book[name].needs if name in book else ()) for deep in below(need)}

    relieved = {rule.slug for rule in pack.rules if "small_load_relief" in below(rule.demand.name) | below(rule.limit.name)}
    assert relieved == {"bending-with-tension"}


def test_the_report_says_that_slip_of_joints_is_not_counted(bar, checked) -> None:
    load = [{"id": "g", "nature": "permanent", "loads": [{"member": "M", "line_kn_per_m": 0.3, "along": "member", "direction": "down"}]}]
    report = checked(bar(3000, {"b_mm": 47, "h_mm": 147}, actions=load))
    assert any("slip" in each and "deflections" in each for each in report["not_checked"])
