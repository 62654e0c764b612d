"""Judgements become findings: what is said of one element, with its working and its sources."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from json.encoder import encode_basestring as quoted
from typing import Any

from rules import __version__
from rules.judge.along import Axis
from rules.judge.deciding import COUNTED, Decided
from rules.judge.framed import Frame
from rules.judge.judgement import AnyRule, EngineRule, Judgement
from rules.judge.options import Options
from rules.judge.origins import changed_for
from rules.judge.words import message, shown
from rules.judge.working import working
from rules.library.citation import Citation
from rules.library.rule import Kind, Rule
from rules.subject.design import Waiver

Document = dict[str, Any]
POINTERS = {"member": "/members/", "support": "/supports/", "brace": "/bracing/"}
"""Where elements stand in the document, by their index; of others the judgement knows."""
GUARD = Citation("a guard of the engine itself", seen="practice", document="birdsmouth", edition=__version__)


@dataclass(frozen=True)
class Telling:
    """Tells the judgements of one frame. replaced: the names of the numbers the caller replaced; cited: what each rule rests on, by the
    rule's identity, written once for all its findings."""

    frame: Frame
    axes: Mapping[tuple[str, str], Axis]
    options: Options
    replaced: frozenset[str]
    cited: dict[int, list[Document]] = field(default_factory=dict)

    def finding(self, each: Decided, *, governing: bool) -> Document:
        """The finding of a judgement. governing: whether it is its element's."""
        j, rule, waived = each.judgement, each.judgement.rule, each.waiver
        name = finding_id(j, self.frame.settled.design.reference)
        combination = None if j.axis is None or j.place is None else self.axes[j.axis].words(*j.place)
        demand, limit = (rule.demand.unit, rule.limit.unit) if isinstance(rule, Rule) else (getattr(rule, "unit", ""),) * 2
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
            "demand": None if j.demand is None else _amount(j.demand, demand),
            "limit": None if j.limit is None else _amount(j.limit, limit),
            "working": working(j, self.axes) if self._is_worked_out(j, governing) else [],
            "parameters": self._changed(j) if self.replaced else [],
            "citations": self.cited.get(id(rule)) or self.cited.setdefault(id(rule), [_cites(rule).plain()]),
            "remedies": list(getattr(rule, "remedies", ())) if j.kind is Kind.FAIL else [],
            "waiver": None if waived is None else _waiver(waived),
            "baseline_state": self._state(j.kind, name),
        }

    def _is_worked_out(self, j: Judgement, governing: bool) -> bool:
        wanted = self.options.working
        return wanted == "all" or (wanted == "governing" and (governing or j.kind is Kind.FAIL))

    def _changed(self, j: Judgement) -> list[Document]:
        evidence = self.axes[j.axis].evidence if j.axis is not None else None
        return changed_for(j, self.frame.selection, evidence, self.replaced)

    def _state(self, kind: Kind, name: str) -> str | None:
        baseline = self.frame.settled.design.baseline
        if baseline is None or kind not in COUNTED:
            return None
        return "unchanged" if name in baseline else "new"


def finding_id(judgement: Judgement, reference: str) -> str:
    """Sixteen hex digits of a SHA-256 over pack, rule, reference, element kind, element id and part: nothing that may change."""
    return finding_ids([around_reference(judgement)], reference)[0]


def around_reference(judgement: Judgement) -> Sequence[str]:
    """What the id of a finding is taken of, a list in JSON, cut where the reference stands in it: once, and once more where the element
    is the design."""
    rule, kind = judgement.rule, judgement.element_kind
    before, after = f"[{quoted(rule.pack)},{quoted(rule.slug)},", f",{quoted(judgement.part)}]"
    if kind == "design":
        return before, f",{quoted(kind)},", after
    return before, f",{quoted(kind)},{quoted(judgement.element_id)}{after}"


def finding_ids(around: Iterable[Sequence[str]], reference: str) -> list[str]:
    """The ids of the findings of a design that is called so."""
    name = quoted(reference)
    return [hashlib.sha256(name.join(each).encode()).hexdigest()[:16] for each in around]


def told(each: Decided, combination: str | None) -> str:
    """The sentence of a finding, with what the caller asked for and does not get."""
    said = message(each.judgement, combination)
    if each.level_void:
        said += f" The level asked for does not hold: {each.level_void}."
    return f"{said} The waiver for it does not hold: {each.waiver_void}." if each.waiver_void else said


def _where(j: Judgement) -> Document:
    plural = POINTERS.get(j.element_kind)
    where = {
        "member": None,
        "joint": None,
        "node": j.spot.node if j.spot else None,
        "support": None,
        "brace": None,
        "at_mm": j.at_mm,
        "pointer": j.pointer if j.pointer is not None else f"{plural}{j.element_index}" if plural else "",
    }
    if j.element_kind != "design":
        where[j.element_kind] = j.element_id
    return where


def _amount(value: float, unit: str) -> Document:
    number, name = shown(value, unit)
    return {"value": number, "unit": name}


def _cites(rule: AnyRule) -> Citation:
    return GUARD if isinstance(rule, EngineRule) else rule.cites


def _waiver(waiver: Waiver) -> Document:
    return {
        "reason": waiver.reason,
        "approved_by": waiver.approved_by,
        "expires": waiver.expires.isoformat(),
        "up_to_utilisation": waiver.up_to_utilisation,
    }
