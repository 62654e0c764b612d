"""A report as JUnit XML: a suite a design, a case a rule, those that pass and those that do not apply too.

A fail at level error is a failure. What is open or for a person to look at is an error: nothing was decided, and it must not look like
a pass. Fails at a lower level and fails somebody waived are skipped cases, seen but not counted; so is a rule that did not apply.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from xml.etree.ElementTree import Element, SubElement, tostring

from service.formats.found import measured
from service.formats.standing import UNNAMED, Reports, grave, heading, level, shown, waived
from service.formats.text import harmless
from service.formats.wording import Values, for_xml, source

_OUTCOMES = ("fail", "open", "review")


def render(report: Values, source: str | None = None) -> bytes:
    """One report as a JUnit file of one suite. source: the file its design came from."""
    return render_all(((report, source),))


def render_all(reports: Reports) -> bytes:
    """Several reports as one file, a suite each."""
    whole = Element("testsuites", name="birdsmouth")
    for report, file in reports:
        whole.append(_suite(harmless(report), for_xml(harmless(file or UNNAMED))))
    for name in ("tests", "failures", "errors", "skipped"):
        whole.set(name, str(sum(int(suite.get(name, "0")) for suite in whole)))
    content: bytes = tostring(whole, encoding="utf-8", xml_declaration=True)
    return content + b"\n"


def _suite(report: Values, file: str) -> Element:
    suite = Element("testsuite", name=for_xml(report.get("reference") or file), file=file)
    properties = SubElement(suite, "properties")
    for name, value in _properties(report):
        SubElement(properties, "property", name=name, value=for_xml(value))
    cases = list(_cases(report, file))
    suite.extend(cases)
    suite.set("tests", str(len(cases)))
    for name, tag in (("failures", "failure"), ("errors", "error"), ("skipped", "skipped")):
        suite.set(name, str(sum(case.find(tag) is not None for case in cases)))
    return suite


def _properties(report: Values) -> Iterator[tuple[str, object]]:
    yield "verdict", report.get("verdict", "open")
    for name, value in (report.get("receipt") or {}).items():
        if isinstance(value, str):
            yield f"receipt.{name}", value
    for pack in report.get("packs") or []:
        yield f"pack.{for_xml(pack.get('id'))}", f"{pack.get('edition', '')}, release {pack.get('release', '')}"
    for caution in report.get("cautions") or []:
        yield "caution", caution


def _cases(report: Values, file: str) -> Iterator[Element]:
    """A case for every rule that ran or found something."""
    found: dict[str, list[Values]] = {str(entry.get("rule")): [] for entry in report.get("coverage") or []}
    for finding in shown(report):
        found.setdefault(str(finding.get("rule")), []).append(finding)
    counts = {str(entry.get("rule")): entry for entry in report.get("coverage") or []}
    for rule, findings in found.items():
        pack, _, slug = rule.partition("/")
        case = Element("testcase", classname=for_xml(pack), name=for_xml(slug), file=file, time="0")
        _outcome(case, findings, counts.get(rule, {}))
        yield case


def _outcome(case: Element, findings: Sequence[Values], counts: Values) -> None:
    against = [finding for finding in findings if grave(finding)]
    lesser = [finding for finding in findings if finding.get("kind") in _OUTCOMES and not grave(finding)]
    hidden = sum(int(counts.get(outcome) or 0) for outcome in _OUTCOMES)
    if against:
        worst = against[0]
        failing = worst.get("kind") == "fail"
        _said(case, "failure" if failing else "error", level(worst) if failing else str(worst.get("kind")), against)
    elif lesser:
        _said(case, "skipped", "waived" if lesser[0].get("waiver") else level(lesser[0]), lesser)
    elif hidden:
        SubElement(case, "error", type="not shown", message=f"{hidden} findings of this rule are not in the report.")
    elif not counts.get("pass") and not any(finding.get("kind") in ("pass", "informational") for finding in findings):
        because = "; ".join(map(str, counts.get("because") or {})) or "it had nothing to say here"
        SubElement(case, "skipped", type="notApplicable", message=for_xml(f"does not apply: {because}"))


def _said(case: Element, tag: str, type_: str, findings: Sequence[Values]) -> None:
    first = findings[0]
    more = f" (and {len(findings) - 1} more)" if len(findings) > 1 else ""
    element = SubElement(case, tag, type=for_xml(type_), message=for_xml(f"{first.get('message') or heading(first)}{more}"))
    element.text = for_xml("\n\n".join("\n".join(_lines(finding)) for finding in findings))


def _lines(finding: Values) -> Iterator[str]:
    yield heading(finding)
    yield str(finding.get("message", ""))
    if finding.get("demand") and finding.get("limit"):
        yield f"found {measured(finding)}"
    yield from (f"source: {source(citation)}" for citation in finding.get("citations") or [])
    yield from (f"what helps: {remedy}" for remedy in finding.get("remedies") or [])
    if waived(finding):
        yield f"waived: {waived(finding)}"
    yield f"id: {finding.get('id', '')}"
