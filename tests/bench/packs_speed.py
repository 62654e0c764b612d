"""How long packs take: reading, linting, and judging by many declared rules. Prints a table; every figure is the least of several runs."""

from __future__ import annotations

import datetime
import json
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from rules.judge.checking import ALWAYS, prepare
from rules.judge.declared_judging import judge_declared
from rules.judge.fact_rows import common_row, rows
from rules.judge.gather import gather
from rules.library.columns import Columns
from rules.library.declared import Outcome
from rules.library.judging_columns import judge_all
from rules.library.linting import lint
from rules.library.loading import held_sources, load_library, readings_of
from rules.library.pack import Pack
from rules.library.reading import PackSource, read_pack
from rules.library.rule import Scope
from rules.library.skeleton import RULE, skeleton
from service.schemas import load

TODAY = datetime.date(2026, 11, 25)
RULES, MEMBERS = 50, 60


def many_rules() -> dict[str, str]:
    """A pack of 50 rules with a condition and a comparison each."""
    files = skeleton("many-practice", "Fifty rules")
    text = files.pop(f"declared/{RULE}.yaml")
    return files | {f"declared/rule-{k}.yaml": text.replace(f"id: {RULE}", f"id: rule-{k}") for k in range(RULES)}


def chain() -> dict[str, Any]:
    """Sixty webs in a row on a support at every node, no two of one length."""
    nodes = [{"id": f"N{k}", "x_mm": 3100 * k + k * k, "y_mm": 0} for k in range(MEMBERS + 1)]
    members = [
        {"id": f"M{k}", "role": "web", "nodes": [f"N{k}", f"N{k + 1}"], "section": {"b_mm": 47, "h_mm": 97}, "grade": "C24"}
        for k in range(MEMBERS)
    ]
    supports = [{"id": f"S{k}", "node": f"N{k}", "holds": ["x", "y"] if k == 0 else ["y"]} for k in range(MEMBERS + 1)]
    loads = [{"member": f"M{k}", "line_kn_per_m": 0.3, "along": "member", "direction": "down"} for k in range(MEMBERS)]
    return {
        "format": "birdsmouth-design-1", "reference": "BENCH", "component_type": "other", "site": {"country": "GB", "subdivision": "GB-ENG"},
        "nodes": nodes, "members": members, "supports": supports, "actions": [{"id": "g", "nature": "permanent", "loads": loads}],
    }  # fmt: skip


def least_ms(run: Callable[[], object], times: int) -> float:
    """The shortest of some runs, in milliseconds."""
    taken = []
    for _ in range(times):
        began = time.perf_counter()
        run()
        taken.append(1000.0 * (time.perf_counter() - began))
    return min(taken)


def judged(pack: Pack, rows: list[dict[str, Any]]) -> list[Outcome]:
    """What every rule says of every row, by columns."""
    columns = Columns(rows, pack.declared[0].values)
    return [outcome for rule in pack.declared for outcome in judge_all(rule, columns)]


def main() -> None:
    """Measure and print."""
    source = PackSource(Path("many"), files={name: text for name, text in many_rules().items() if not name.startswith(".")})
    pack, others = read_pack(source).pack, readings_of(held_sources())
    lint(source, others)  # loads the units once
    frame = prepare(load(json.dumps(chain()).encode()), load_library(), TODAY)
    axes = gather(frame, ALWAYS)
    facts = [row for _, row in rows(Scope.MEMBER, frame, axes, common_row(frame))]
    kinds = {
        "all pass": facts,
        "all fail": [row | {"member.h_mm": 72.0} for row in facts],
        "all open": [row | {"member.h_mm": None} for row in facts],
    }
    told = {
        "read all shipped packs": least_ms(load_library, 5),
        f"read a pack of {RULES} declared rules": least_ms(lambda: read_pack(source), 5),
        f"lint it beside the shipped ones, reading included ({RULES} rules)": least_ms(lambda: lint(source, others), 5),
        f"judge {RULES} rules on {MEMBERS} members, facts gathered": least_ms(lambda: judge_declared(pack.declared, frame, axes), 25),
    }
    for what, made in kinds.items():
        assert {outcome.kind for outcome in judged(pack, made)} == {what.removeprefix("all ")}
        told[f"  the rules alone, {what}"] = least_ms(lambda made=made: judged(pack, made), 25)
        told[f"  the same one element at a time, {what}"] = least_ms(
            lambda made=made: [rule.judge(row) for rule in pack.declared for row in made], 5
        )
    for what, ms in told.items():
        each = f"{1000 * ms / (RULES * MEMBERS):9.2f} µs a judgement" if what.lstrip().startswith(("judge", "the")) else ""
        print(f"{what:<70} {ms:9.1f} ms {each}")


if __name__ == "__main__":
    main()
