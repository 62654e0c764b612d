"""The report document: findings in one order, with their working, where they come from, and what was not looked at."""

from __future__ import annotations

import datetime
import hashlib
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from rules import __version__
from rules.judge.along import Axis
from rules.judge.bearing_schedule import bearing_rows
from rules.judge.coverage import KINDS, by_clause, by_rule
from rules.judge.deciding import COUNTED, Decided, verdict
from rules.judge.framed import Frame
from rules.judge.joint_schedule import joint_schedule
from rules.judge.judgement import EngineRule, Judgement
from rules.judge.options import Options
from rules.judge.origins import changed_for, grades_part, numbers_part, replaced_by_caller
from rules.judge.outline import outline
from rules.judge.quantities import bill
from rules.judge.receipt import canonical_words, packs_part, receipt
from rules.judge.response import response_part
from rules.judge.schedule import bracing_part
from rules.judge.strengths import strengths_of
from rules.judge.words import message, shown
from rules.judge.working import working
from rules.library.citation import Citation
from rules.library.derivation import Derivation
from rules.library.rule import Kind, Purpose, Rule
from rules.subject.design import Waiver
from rules.subject.settled import Assumption

Document = dict[str, Any]
SHOWN = (Kind.FAIL, Kind.OPEN, Kind.REVIEW, Kind.INFORMATIONAL)
"""What is shown by default; of the rest only the governing pass of every element."""
DECIDED = (Kind.PASS, Kind.FAIL)
SHARED = (Purpose.STRENGTH, Purpose.SERVICEABILITY)
KIND_AT = {kind: place for place, kind in enumerate(KINDS)}
LEVEL_AT = {level: place for place, level in enumerate(("error", "warning", "note", "none"))}
ELEMENT_AT = {kind: place for place, kind in enumerate(("design", "member", "joint", "support", "brace"))}
"""Where findings of each stand among the others."""
CAUTIONS = (
    "This report checks the design as described against the packs listed; it is no substitute for the local building code, for the "
    "authority that enforces it, or for the judgement of a licensed engineer, who must accept it before anything is built.",
    "A truss stands only with its bracing: nothing here replaces a bracing design of the roof, during erection and for good.",
    "Values and rules marked as from memory or as common practice have not been read at their source; confirm them there.",
)
NOT_FOR_CONSTRUCTION = "NOT FOR CONSTRUCTION: this design holds values marked as invented."


@dataclass(frozen=True)
class Checked:
    """All that a report is made from."""

    frame: Frame
    axes: Mapping[tuple[str, str], Axis]
    decided: Sequence[Decided]
    as_of: datetime.date
    options: Options

    @cached_property
    def replaced(self) -> frozenset[str]:
        """The names of the numbers the caller replaced."""
        return replaced_by_caller(self.frame.selection)

    @cached_property
    def ordered(self) -> Sequence[Decided]:
        """Everything decided, in the order of findings."""
        return sorted(self.decided, key=_order)

    @cached_property
    def shares(self) -> Sequence[tuple[Decided, float]]:
        """What uses up a share of what timber can carry, and how much of it."""
        return [(each, share) for each in self.ordered if (share := _share(each)) is not None]

    @cached_property
    def governing(self) -> set[int]:
        """Identities of the governing pass of every element, and of its governing fail."""
        return _governing(self.shares)

    @cached_property
    def shown(self) -> Sequence[Decided]:
        """What becomes a finding."""
        if self.options.include == "all":
            return self.ordered
        return [each for each in self.ordered if each.judgement.kind in SHOWN or id(each) in self.governing]


def report(checked: Checked) -> Document:
    """The document of the contract, raw floats, without the digest of itself (the edge rounds, then seals)."""
    design, selection = checked.frame.settled.design, checked.frame.selection
    ordered = checked.ordered
    findings = [_finding(checked, each, id(each) in checked.governing) for each in checked.shown]
    coverage = by_rule(ordered)
    code = any(chosen.pack.layer == "code" for chosen in selection.packs)
    cases = [_load(each) for each in checked.frame.derived.derivations]
    return {
        "format": "birdsmouth-report-1",
        "reference": design.reference,
        "title": design.title,
        "verdict": verdict(ordered, code_in_force=code),
        "summary": _summary(ordered, checked.shares, design.reference),
        "packs": packs_part(checked.frame),
        "assumptions": [_assumption(each) for each in checked.frame.settled.assumptions],
        "findings": findings,
        "numbers": numbers_part((step["number"] for each in (*findings, *cases) for step in each["working"] if step["number"]), selection),
        "grades": grades_part(checked.frame.settled.materials),
        "coverage": coverage,
        "coverage_by_clause": by_clause(selection, coverage),
        "baseline": _baseline(checked, ordered),
        "not_checked": list(dict.fromkeys(item for chosen in selection.packs for item in chosen.pack.not_covered)),
        "load_cases": cases,
        "response": response_part(checked.frame, checked.axes, checked.options),
        "frame": outline(design),
        "quantities": bill(checked.frame) | joint_schedule(checked.frame, checked.axes),
        "bearings": bearing_rows(checked.frame, checked.axes, [each.judgement for each in checked.decided]),
        "bracing": bracing_part(checked.frame, checked.axes, [each.judgement for each in checked.decided]),
        "cautions": [*([NOT_FOR_CONSTRUCTION] if _invented(checked) else []), *CAUTIONS],
        "receipt": receipt(checked.frame, checked.as_of, checked.options),
    }


def finding_id(judgement: Judgement, reference: str) -> str:
    """Sixteen hex digits of a SHA-256 over pack, rule, reference, element kind, element id and part: nothing that may change."""
    rule = judgement.rule
    parts = [rule.pack, rule.slug, reference, judgement.element_kind, judgement.element_id, judgement.part]
    return hashlib.sha256(canonical_words(parts)).hexdigest()[:16]


def _order(each: Decided) -> tuple[Any, ...]:
    j = each.judgement
    rule = j.rule
    return (KIND_AT[j.kind], LEVEL_AT[each.level], rule.pack, rule.slug, ELEMENT_AT[j.element_kind], j.element_index, j.part)


def _share(each: Decided) -> float | None:
    """The utilisation of a judgement of strength or serviceability; a practice's ratio is no share of what timber can carry."""
    j = each.judgement
    counts = j.kind in DECIDED and isinstance(j.rule, Rule) and j.rule.purpose in SHARED
    return j.utilisation if counts else None


def _governing(shares: Iterable[tuple[Decided, float]]) -> set[int]:
    best: dict[tuple[str, str, Kind], tuple[float, Decided]] = {}
    for each, share in shares:
        j = each.judgement
        key = (j.element_kind, j.element_id, j.kind)
        if key not in best or share > best[key][0] * (1.0 + 1e-9):
            best[key] = (share, each)
    return {id(each) for _, each in best.values()}


def _summary(ordered: Sequence[Decided], shares: Iterable[tuple[Decided, float]], reference: str) -> Document:
    counts = Counter(each.judgement.kind for each in ordered if each.waiver is None)
    worst: tuple[Decided, float] | None = None
    for each in shares:  # ties go to the first, as in each element's own governing finding
        if worst is None or each[1] > worst[1] * (1.0 + 1e-9):
            worst = each
    return {
        **{str(kind): counts[kind] for kind in (Kind.PASS, Kind.FAIL, Kind.OPEN, Kind.REVIEW, Kind.INFORMATIONAL, Kind.NOT_APPLICABLE)},
        "waived": sum(each.waiver is not None for each in ordered),
        "warnings": sum(each.waiver is None and each.level == "warning" for each in ordered),
        "governing": None
        if worst is None
        else {"finding": finding_id(worst[0].judgement, reference), "utilisation": worst[0].judgement.utilisation},
    }


def _assumption(each: Assumption) -> Document:
    return {"pointer": each.pointer, "value": each.value, "because": each.because, "confirm": each.confirm, "citation": each.citation}


def _finding(checked: Checked, each: Decided, governing: bool) -> Document:
    j, rule = each.judgement, each.judgement.rule
    name = finding_id(j, checked.frame.settled.design.reference)
    waived = each.waiver
    combination = None if j.axis is None or j.place is None else checked.axes[j.axis].words(*j.place)
    return {
        "id": name,
        "rule": rule.id,
        "kind": str(j.kind),
        "level": each.level,
        "decided_by": each.decided_by,
        "title": rule.title,
        "message_id": f"{rule.id}.{j.kind}",
        "values": dict(j.values),
        "message": told(each, combination),
        "where": _where(j),
        "part": j.part,
        "combination": combination,
        "utilisation": j.utilisation,
        "demand": _amount(j.demand, rule, "demand"),
        "limit": _amount(j.limit, rule, "limit"),
        "working": _working(checked, j, governing),
        "parameters": _changed(checked, j),
        "citations": [cites.plain() for cites in _cites(rule)],
        "remedies": list(getattr(rule, "remedies", ())) if j.kind is Kind.FAIL else [],
        "waiver": None if waived is None else _waiver(waived),
        "baseline_state": _state(checked, each, name),
    }


def told(each: Decided, combination: str | None) -> str:
    """The sentence of a finding."""
    return message(each.judgement, combination) + _void(each)


def _void(each: Decided) -> str:
    """What the caller asked for and does not get."""
    level = f" The level asked for does not hold: {each.level_void}." if each.level_void else ""
    return level + (f" The waiver for it does not hold: {each.waiver_void}." if each.waiver_void else "")


def _where(j: Judgement) -> Document:
    plural = {"member": "/members/", "support": "/supports/", "brace": "/bracing/"}.get(j.element_kind)
    return {
        "member": j.element_id if j.element_kind == "member" else None,
        "joint": j.element_id if j.element_kind == "joint" else None,
        "node": j.spot.node if j.spot else None,
        "support": j.element_id if j.element_kind == "support" else None,
        "brace": j.element_id if j.element_kind == "brace" else None,
        "at_mm": j.at_mm,
        "pointer": j.pointer if j.pointer is not None else f"{plural}{j.element_index}" if plural else "",
    }


def _amount(value: float | None, rule: Any, which: str) -> Document | None:
    if value is None:
        return None
    unit = getattr(rule, which).unit if isinstance(rule, Rule) else getattr(rule, "unit", "")
    number, name = shown(value, unit)
    return {"value": number, "unit": name}


def _working(checked: Checked, j: Judgement, governing: bool) -> list[Document]:
    wanted = checked.options.working == "all" or (checked.options.working == "governing" and (governing or j.kind is Kind.FAIL))
    return working(j, checked.axes) if wanted else []


def _changed(checked: Checked, j: Judgement) -> list[Document]:
    evidence = checked.axes[j.axis].evidence if j.axis is not None else None
    return changed_for(j, checked.frame.selection, evidence, checked.replaced)


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


def _cites(rule: Any) -> list[Citation]:
    if isinstance(rule, EngineRule):
        return [Citation("a guard of the engine itself", seen="practice", document="birdsmouth", edition=__version__)]
    return [rule.cites]


def _waiver(waiver: Waiver) -> Document:
    return {
        "reason": waiver.reason,
        "approved_by": waiver.approved_by,
        "expires": waiver.expires.isoformat(),
        "up_to_utilisation": waiver.up_to_utilisation,
    }


def _state(checked: Checked, each: Decided, name: str) -> str | None:
    baseline = checked.frame.settled.design.baseline
    if baseline is None or each.kind not in COUNTED:
        return None
    return "unchanged" if name in baseline else "new"


def _baseline(checked: Checked, ordered: Iterable[Decided]) -> Document | None:
    """Known findings that are gone; None without a baseline. It never changes the verdict."""
    design = checked.frame.settled.design
    baseline = design.baseline
    if baseline is None:
        return None
    found = {finding_id(each.judgement, design.reference) for each in ordered if each.kind in COUNTED}
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
