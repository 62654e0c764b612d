"""The text report: everything a designer needs is there, in 100 columns, and nothing drives the terminal."""

import copy
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.formats.layout import WIDTH, table
from service.formats.text import render


def shown(report: dict[str, Any], **options: Any) -> str:
    return render(report, "barn.json", **options).decode()


def test_the_verdict_comes_first(failing_report: dict[str, Any]) -> None:
    lines = shown(failing_report).splitlines()
    assert lines[1] == " FAIL  BARN-07"
    assert "at least one check is not met" in lines[3].lower()


@pytest.mark.parametrize(
    "words",
    [
        "2 fail, 1 open, 1 for review, 1 for information, 12 pass, 5 not applicable, 1 waived",
        "Most used: 1.22 of what is allowed, member W1 at 2335 mm: The web does not buckle.",
        "1.22 member W1 at 2335 mm (out of plane): The web does not buckle",
        "loads: 1.35 G + 1.5 wind-left + 0.75 snow-left",
        "working: σ_c,0,d = N / A = 1.341 N/mm²  [6.1.4]",
        "source: EN 1995-1-1, 6.3.2 (6.24), edition 2004+A2:2014: from memory",
        "what helps: Brace the webs at mid-length with a binder that is anchored",
        "rule: eurocode-timber/bending-with-compression, error",
        "rule: england-house-longhorn/treated, warning",
        "waived: treated on site (R. Vance, until 2027-01-31)",
        "OPEN: COULD NOT BE DECIDED (1)",
        "FOR A PERSON TO LOOK AT (1)",
        "FOR INFORMATION (1)",
        "/members/0/ends and 1 more like it: pinned. no ends are stated (To confirm: designer.)",
        "eurocode-timber 2004+A2:2014, release 1.0.0: site GB-ENG, as of 2026-11-25",
        "· fire",
        "· This is no substitute for the local code and a licensed engineer.",
        "as of 2026-11-25, engine 0.1.0, design sha256:0123456789ab, report sha256:fedcba987654",
    ],
)
def test_what_the_report_says_is_shown(failing_report: dict[str, Any], words: str) -> None:
    assert words in shown(failing_report)


def test_passes_stand_in_a_table_with_clause_and_source(failing_report: dict[str, Any]) -> None:
    row = next(line for line in shown(failing_report).splitlines() if "member BC" in line)
    assert row.split()[0] == "1.00"
    assert row.rstrip().endswith("read")


def test_no_line_is_wider_than_the_page(failing_report: dict[str, Any]) -> None:
    assert max(map(len, shown(failing_report).splitlines())) <= WIDTH


def test_hostile_text_stays_readable(failing_report: dict[str, Any]) -> None:
    failing_report["findings"][0]["message"] = "two\nlines\tand a tab"
    assert "two lines and a tab" in shown(failing_report)


def test_without_colour_there_is_no_escape_and_with_it_the_words_are_the_same(failing_report: dict[str, Any]) -> None:
    plain, coloured = shown(failing_report), shown(failing_report, colour=True)
    assert "\x1b" not in plain
    assert "\x1b[1;31mFAIL\x1b[0m" in coloured
    for code in ("1;31", "1;33", "1;36", "1;32", "1", "0"):
        coloured = coloured.replace(f"\x1b[{code}m", "")
    assert coloured == plain


@pytest.mark.parametrize("colour", [False, True])
def test_control_characters_of_a_report_never_reach_the_terminal(failing_report: dict[str, Any], colour: bool) -> None:
    hostile = copy.deepcopy(failing_report)
    hostile["findings"][0]["message"] = "\x1b[2J\x1b]0;owned\x07gone\r\u202e"
    text = shown(hostile, colour=colour)
    assert "\x1b[2J" not in text
    assert "\x1b]" not in text
    assert not set(text) & {"\x07", "\r", "\u202e"}


@pytest.mark.parametrize("part", ["summary", "packs", "assumptions", "findings", "not_checked", "cautions", "receipt"])
def test_a_report_that_lacks_a_part_is_still_shown(failing_report: dict[str, Any], part: str) -> None:
    del failing_report[part]
    assert " FAIL  BARN-07" in shown(failing_report)


def test_findings_that_say_the_same_of_many_elements_stand_together(failing_report: dict[str, Any]) -> None:
    alike = [
        {"id": str(at), "rule": "engine/unjudged-element", "kind": "open", "message": f"Member W{at}: nobody judged W{at}.", "where": {"member": f"W{at}"},
         "title": "Judged", "utilisation": 0.5 if at == 3 else None}
        for at in range(1, 5)
    ]  # fmt: skip
    failing_report["findings"] = alike
    text = shown(failing_report)
    assert "the same: members W2, W3 (0.50), W4" in text
    assert text.count("nobody judged") == 1


def test_fails_stand_by_element_the_worst_first(failing_report: dict[str, Any]) -> None:
    first = failing_report["findings"][0]
    bends = {
        **first,
        "id": "b",
        "rule": "eurocode-timber/bending",
        "title": "It does not break",
        "utilisation": 1.05,
        "message": "it bends too far",
        "part": "",
    }
    other = {**bends, "id": "c", "where": {"member": "BC"}, "utilisation": 1.9, "message": "the tie is the worst"}
    note = {**bends, "id": "d", "level": "note", "utilisation": 3.0, "message": "only a note"}
    failing_report["findings"] = [bends, note, first, other]
    text = shown(failing_report)
    assert text.index("the tie is the worst") < text.index("uses 122 %") < text.index("only a note")
    assert "also not met: 1.05 It does not break [EN 1995-1-1, 6.3.2 (6.24); eurocode-timber/bending]" in text
    assert "it bends too far" not in text


@given(st.lists(st.tuples(st.text("abc de", max_size=60), st.text("fgh ij", max_size=60)), max_size=5))
def test_a_table_loses_no_word_and_keeps_its_columns(rows: list[tuple[str, str]]) -> None:
    lines = list(table(("first", "second"), (10, 12), rows))
    assert all(len(line) <= 25 for line in lines)
    left = "".join(line[1:11] for line in lines[2:]).replace(" ", "")
    assert left == "".join(cell for cell, _ in rows).replace(" ", "")


def test_loads_worked_out_are_told_with_their_size(failing_report: dict[str, Any]) -> None:
    steps = [{"symbol": "μ_1", "value": 0.667, "unit": "1"}, {"symbol": "q_s", "value": 0.19238, "unit": "kN/m"}]
    cases = [
        {"action": "snow-even", "what": "snow as it falls", "replaced": False, "working": steps},
        {"action": "wind-along", "what": "wind along the ridge", "replaced": True, "working": []},
    ]
    text = shown({**failing_report, "load_cases": cases})
    assert "· snow-even: snow as it falls; 0.192 kN/m" in text
    assert "· wind-along: wind along the ridge; no load; left out, the design states its own" in text


@pytest.mark.parametrize(("limit", "told"), [(2, False), (0, True)])
def test_counts_that_the_message_tells_are_not_told_again(limit: int, told: bool) -> None:
    """Four trusses are wanted and two are there: "found 4, allowed 2" would say the opposite."""
    message = "A tank of 300 litres wants a platform over 4 trusses; it is spread over 2."
    counts = {name: {"value": value, "unit": "1"} for name, value in (("demand", 4), ("limit", limit))}
    finding = {
        "id": "a",
        "rule": "uk-practice/tank-in-the-loft",
        "kind": "fail",
        "level": "error",
        "utilisation": 2.0,
        "message": message,
        **counts,
    }
    assert ("found: 4" in render({"verdict": "fail", "findings": [finding]}).decode()) is told
