"""The report document: findings in one order, with their working, where they come from, and what was not looked at."""

from __future__ import annotations

import datetime
from collections import Counter
from collections.abc import Iterable
from itertools import chain
from operator import itemgetter
from typing import Any

from rules.judge.bearing_schedule import bearing_rows
from rules.judge.checked import Checked
from rules.judge.coverage import by_clause, by_rule
from rules.judge.deciding import Decided, verdict
from rules.judge.framed import Frame
from rules.judge.joint_schedule import joint_schedule
from rules.judge.options import Options
from rules.judge.origins import grades_part, numbers_part
from rules.judge.outline import outline
from rules.judge.quantities import bill
from rules.judge.receipt import packs_part, receipt
from rules.judge.response import response_part
from rules.judge.schedule import bracing_part
from rules.judge.strengths import strengths_of
from rules.judge.telling import Telling, finding_id
from rules.library.derivation import Derivation
from rules.library.rule import Kind
from rules.subject.settled import Assumption

Document = dict[str, Any]
CAUTIONS = (
    "This report checks the design as described against the packs listed; it is no substitute for the local building code, for the "
    "authority that enforces it, or for the judgement of a licensed engineer, who must accept it before anything is built.",
    "A truss stands only with its bracing: nothing here replaces a bracing design of the roof, during erection and for good.",
    "Values and rules marked as from memory or as common practice have not been read at their source; confirm them there.",
)
NOT_FOR_CONSTRUCTION = "NOT FOR CONSTRUCTION: this design holds values marked as invented."


def report(checked: Checked) -> Document:
    """The document of the contract, raw floats, without the digest of itself (the edge rounds, then seals)."""
    design, selection = checked.frame.settled.design, checked.frame.selection
    telling = Telling(checked.frame, checked.axes, checked.options, selection.replaced_by_caller)
    findings = [telling.finding(each, governing=id(each) in checked.governing) for each in checked.shown]
    coverage = by_rule(checked.ordered)
    code = any(chosen.pack.layer == "code" for chosen in selection.packs)
    cases = [_load(each) for each in checked.frame.derived.derivations]
    return {
        "format": "birdsmouth-report-1",
        "reference": design.reference,
        "title": design.title,
        "verdict": verdict(checked.counted, code_in_force=code),
        "summary": _summary(checked, design.reference),
        "packs": packs_part(checked.frame),
        "assumptions": [_assumption(each) for each in checked.frame.settled.assumptions],
        "findings": findings,
        "numbers": numbers_part(_numbers_in([*findings, *cases]), selection),
        "grades": grades_part(checked.frame.settled.materials),
        "coverage": coverage,
        "coverage_by_clause": by_clause(selection, coverage),
        "baseline": _baseline(checked),
        "not_checked": list(dict.fromkeys(item for chosen in selection.packs for item in chosen.pack.not_covered)),
        "load_cases": cases,
        "response": response_part(checked.frame, checked.axes, checked.options),
        "frame": outline(design),
        "quantities": bill(checked.frame) | joint_schedule(checked.frame, checked.axes),
        "bearings": bearing_rows(checked.frame, checked.axes, checked.unsound),
        "bracing": bracing_part(checked.frame, checked.axes, checked.unsound),
        "cautions": [*([NOT_FOR_CONSTRUCTION] if _invented(checked) else []), *CAUTIONS],
        "receipt": receipt(checked.frame, checked.as_of, checked.options),
    }


def _numbers_in(shown: Iterable[Document]) -> set[str]:
    """The names of the packs' numbers that stand in these workings."""
    steps = chain.from_iterable(map(itemgetter("working"), shown))
    return set(map(itemgetter("number"), steps)) - {None}


def _summary(checked: Checked, reference: str) -> Document:
    waived = [each.judgement.kind for each in checked.counted if each.waiver is not None]
    counts = Counter({kind: len(found) for kind, found in checked.by_kind.items()})
    counts.subtract(waived)
    worst: tuple[Decided, float] | None = None
    for each in checked.shares:  # ties go to the first, as in each element's own governing finding
        if worst is None or each[1] > worst[1] * (1.0 + 1e-9):
            worst = each
    return {
        **{str(kind): counts[kind] for kind in (Kind.PASS, Kind.FAIL, Kind.OPEN, Kind.REVIEW, Kind.INFORMATIONAL, Kind.NOT_APPLICABLE)},
        "waived": len(waived),
        "warnings": len([each for each in checked.by_kind[Kind.FAIL] if each.level == "warning" and each.waiver is None]),
        "governing": None
        if worst is None
        else {"finding": finding_id(worst[0].judgement, reference), "utilisation": worst[0].judgement.utilisation},
    }


def _assumption(each: Assumption) -> Document:
    return {"pointer": each.pointer, "value": each.value, "because": each.because, "confirm": each.confirm, "citation": each.citation}


def _load(each: Derivation) -> Document:
    """A load case that was worked out: what it is, its working, and the sources of that."""
    action = each.action
    return {
        "action": action.id,
        "nature": action.nature,
        "what": each.what,
        "replaced": each.replaced,
        "working": [step.plain() for step in each.steps],
        "citations": [cites.plain() for cites in each.citations],
    }


def _baseline(checked: Checked) -> Document | None:
    """Known findings that are gone; None without a baseline. It never changes the verdict."""
    design = checked.frame.settled.design
    baseline = design.baseline
    if baseline is None:
        return None
    found = {finding_id(each.judgement, design.reference) for each in checked.counted}
    return {"absent": [name for name in baseline if name not in found]}


def _invented(checked: Checked) -> bool:
    settled = checked.frame.settled
    parts = (getattr(member.section, "capacity", None) for member in settled.design.members)
    declared = [*parts, *settled.materials, *settled.design.plate_types, *strengths_of(settled.design)]
    return any(each is not None and each.invented for each in declared)


def packs_and_receipt(frame: Frame, as_of: datetime.date, options: Options) -> Document:
    """What an analysis shares with a report: packs, assumptions, cautions and receipt."""
    return {
        "packs": packs_part(frame),
        "assumptions": [_assumption(each) for each in frame.settled.assumptions],
        "cautions": list(CAUTIONS),
        "receipt": receipt(frame, as_of, options),
    }
