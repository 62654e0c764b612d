"""The page for whoever builds: whether to, which bracing goes where, what sits on what, what has to be true on site, and the cautions.

It is another dress of the same report, carries its receipt and adds no judgement; how the design was judged stands in the whole report.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import Any

import msgspec

from service.formats import bearings, bracing
from service.formats.found import alike, also
from service.formats.layout import RULE, table, wrapped
from service.formats.standing import Reports, grave, kind, shown
from service.formats.svg import figure
from service.formats.text import MEANING, harmless
from service.formats.wording import Values, clause, number, place, seen
from service.units import dressed, in_us, told

HEADS = ("Done", "What", "Where", "Timber and fixing", "Fixed to, in the end")
BOX = "[ ]"
PLACES = ("member", "joint", "node", "support", "brace")
MOST_NAMED = 8
ASK = (
    "Where the site differs from this page, or something on it cannot be fixed as it says: stop and ask the designer. No piece is cut, "
    "notched, moved or left out otherwise. (Common practice, no published source.)"
)
CALLED: Mapping[str, tuple[str, str]] = {
    "trussed-rafter": ("trussed rafter", "trussed rafters"), "open-web-joist": ("open-web joist", "open-web joists"),
    "solid-joist": ("joist", "joists"), "cut-roof": ("pair of rafters", "pairs of rafters"),
}  # fmt: skip
"""One and several of each type of component."""
GO = "Every check that ran is met. A licensed engineer has to accept the design before anything is built."
STOP = "Not to be built yet: {}. Ask the designer."
_ORDER = ("on site", "missing", "fails", "open", "not listed", "given")
_SENTENCE = re.compile(r"(?<=[.?!)]) (?=[A-Z“])")
_ASKED = re.compile(r"\?( \([\w., ]+\))?$|^(Give|List|Name|Or|Put|Say|See|State|Write|A figure) ")
"""A sentence that is for the designer: a question, or what to answer it with."""
_FIELDS = re.compile(r"(?<=[.?!]) \([a-z][\w., ]*\)")
"""Fields of the document, named after a sentence."""
_MEMBER = re.compile(r"/(members|supports)/(\d+)(?:/|$)")


def render_all(reports: Reports, form: str) -> bytes:
    """The pages in one file; form: a name of FORMS."""
    return FORMS[form](reports)


def dress(report: bytes, source: str | None, form: str) -> bytes:
    """The page of one report, given as the JSON bytes the pipeline makes."""
    return render_all(((msgspec.json.decode(report), source),), form)


def page(report: Values, file: str | None) -> dict[str, Any]:
    """What a page says, in the order in which it is needed."""
    report, verdict = harmless(report), str(report.get("verdict", "open"))
    return {
        "verdict": verdict if verdict in MEANING else "open",
        "reference": str(report.get("reference") or "design"),
        "title": str(report.get("title") or ""),
        "file": harmless(file) or "",
        "setting": list(_setting(report.get("frame") or {})),
        "may": GO if verdict == "pass" else f"{STOP.format(MEANING.get(verdict, MEANING['open']))}{_against(report)}",
        "drawing": (figure(report, plain=True) or b"").decode(),
        "stated": bracing.stated(report),
        "bracing": {"heads": list(HEADS), "rows": list(_together(map(_brace, _in_order(bracing.rows(report)))))},
        "bearings": {"heads": list(bearings.HEADS), "rows": [list(bearings.cells(row)) for row in bearings.rows(report)]},
        "said": list(_said(report)),
        "confirm": list(_confirm(report)),
        "cautions": [*(str(each) for each in report.get("cautions") or []), ASK],
        "as_of": str((report.get("receipt") or {}).get("as_of") or ""),
        "receipt": str((report.get("receipt") or {}).get("report") or "none"),
    }


def _setting(frame: Values) -> Iterator[str]:
    """How many there are and how far apart, and which pieces are of several plies; nothing of a report that does not say what it is."""
    if not frame.get("component_type"):
        return
    count, spacing = frame.get("count"), frame.get("spacing_mm")
    one, several = CALLED.get(str(frame["component_type"]), ("component", "components"))
    many = f"{count} {one if count == 1 else several}" if count else f"{several.capitalize()}, how many the design does not say"
    apart = (
        f"{number(spacing)} mm from {'its neighbours' if count == 1 else 'one to the next'}"
        if spacing
        else "how far apart, the design does not say: ask the designer"
    )
    yield f"{many}, {apart}."
    pieces, plies = (_listed(frame, key) for key in ("role", "plies"))
    if pieces:
        words = (f"{_role(str(role), len(names))} {', '.join(names)}" for role, names in pieces.items())
        yield f"Pieces: {'; '.join(words)}."
    yield from (
        f"{', '.join(names)}: {many} plies side by side, joined as the designer says." for many, names in plies.items() if (many or 1) > 1
    )


def _listed(frame: Values, key: str) -> dict[Any, list[str]]:
    """The names of the pieces, by what they are or by how many plies they have."""
    names: dict[Any, list[str]] = {}
    for member in frame.get("members") or []:
        names.setdefault(member.get(key), []).append(str(member["id"]))
    return names


def _role(role: str, many: int) -> str:
    """What pieces are called: "ceiling tie", "webs"."""
    word = role.replace("-", " ") if role not in ("None", "member") else "piece"
    return word if many == 1 else f"{word}s"


def _against(report: Values) -> str:
    """Which pieces, bearings and braces it is about, the worst first; nothing where it is the whole."""
    wheres = (finding.get("where") or {} for finding in shown(report) if grave(finding))
    names = list(dict.fromkeys(name for where in wheres for name in _named(where)))
    more = f" and {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else ""
    return f" It is about {', '.join(names[:MOST_NAMED])}{more}." if names else ""


def _named(where: Values) -> list[str]:
    """The names of a place: of a joint that it is one, which no drawing shows, and not its node as well."""
    kinds = [kind for kind in PLACES if where.get(kind) is not None and not (kind == "node" and where.get("joint") is not None)]
    return [f"joint {where[kind]}" if kind == "joint" else str(where[kind]) for kind in kinds]


def _in_order(rows: Sequence[Values]) -> list[Values]:
    """What has to stand first comes first, what is not settled before what is."""
    return sorted(rows, key=lambda row: _ORDER.index(row["status"]) if row.get("status") in _ORDER else len(_ORDER))


def _brace(row: Values) -> tuple[str, ...]:
    status, what, where, made, _, _, anchored = bracing.cells(row)
    unsettled = status in ("missing", "fails", "open", "not listed")
    named = what if not unsettled else what.upper() if status in what else f"{status.upper()}: {what}"
    return "" if unsettled or status == "own design" else BOX, named, where, made, anchored


def _together(rows: Iterable[tuple[str, ...]]) -> Iterator[list[str]]:
    """What has no box to tick and is said in the same words of one piece after another, once: "W1, W3: sideways; …"."""
    groups: dict[tuple[str, ...], list[str]] = {}
    for box, what, where, *rest in rows:
        piece, colon, said = where.partition(": ")
        alike = bool(colon) and box != BOX
        groups.setdefault((box, what, f"{colon}{said}" if alike else where, *rest), []).append(piece if alike else "")
    for (box, what, where, *rest), pieces in groups.items():
        yield [box, what, f"{', '.join(pieces)}{where}" if all(pieces) else where, *rest]


def _said(report: Values) -> Iterator[str]:
    """What stands against a support or a brace, and what practice says of them or of the whole."""
    practice = {pack.get("id") for pack in report.get("packs") or [] if pack.get("layer") == "practice"}
    chosen = [each for each in shown(report) if _is_for_site(each, practice) and kind(each) not in ("pass", "notApplicable")]
    for same in alike([{**each, "message": _plain(each)} for each in chosen]):
        worst = {"fail": "Not met: ", "open": "Open: ", "review": "To be looked at: "}.get(kind(same[0]), "")
        others = f" ({also(same, shares=False)})" if len(same) > 1 else ""
        yield f"{worst}{same[0]['message'] or place(same[0].get('where') or {})}{others} [{_whose(same[0])}]"


def _plain(finding: Values) -> str:
    """What a finding says to who builds: without the loads it was found under, and without what the designer is asked."""
    under, said = str(finding.get("combination") or ""), str(finding.get("message") or "")
    for words in {under, in_us(under)} - {""}:
        said = said.replace(f", under {words}", "")
    sentences = _SENTENCE.split(said)
    kept = [_FIELDS.sub("", sentence) for sentence in sentences if not _ASKED.search(sentence)]
    return " ".join(kept or sentences)


def _whose(finding: Values) -> str:
    """Whose word it is, and whether it was read there."""
    return "; ".join(f"{clause(cited)}: {seen(cited)}" for cited in finding.get("citations") or []) or "no source"


def _is_for_site(finding: Values, practice: set[Any]) -> bool:
    where = finding.get("where") or {}
    held = where.get("support") is not None or where.get("brace") is not None
    return (held and grave(finding)) or str(finding.get("rule")).split("/")[0] in practice


def _confirm(report: Values) -> Iterator[str]:
    """What the design takes to be so on site, the same of several pieces once; what the rows of the bracing say already is left to them."""
    names: dict[str, list[str]] = {}
    told_above = any(row.get("status") not in ("on site", "own design") for row in bracing.rows(report))
    for taken in report.get("assumptions") or []:
        if taken.get("confirm") == "site" and not (told_above and "/restraint_spacing/" in str(taken.get("pointer"))):
            names.setdefault(str(taken.get("because") or ""), []).append(_name(str(taken.get("pointer")), report))
    for because, elements in names.items():
        where = ", ".join(dict.fromkeys(each for each in elements if each))
        yield f"{where}: {because}" if where else because


def _name(pointer: str, report: Values) -> str:
    """The piece or support a pointer leads to; nothing where it leads elsewhere."""
    found = _MEMBER.match(pointer)
    listed = ((report.get("frame") or {}).get(found[1]) or []) if found else []
    return str(listed[int(found[2])]["id"]) if found and int(found[2]) < len(listed) else ""


def _text(reports: Reports) -> bytes:
    parts = ["\n".join(line.rstrip() for line in _lines(page(report, file), report)) + "\n" for report, file in reports]
    return dressed("\n".join(parts).encode(), (report for report, _ in reports))


def _lines(shown_page: Values, report: Values) -> Iterator[str]:
    yield RULE
    yield f" FOR THE BUILDER  {shown_page['reference']}"
    yield RULE
    for words in (shown_page["title"], f"{shown_page['verdict'].upper()}. {shown_page['may']}"):
        yield from wrapped(words, 1)
    for words in shown_page["setting"]:
        yield from wrapped(words, 1)
    yield from _heading("BRACING")
    yield from wrapped(shown_page["stated"], 1)
    widths = (4, 18, 32, 26, 12)
    yield from table(HEADS, widths, told(_spaced(shown_page["bracing"]["rows"]), report))
    yield from _heading("BEARINGS")
    yield from table(bearings.HEADS, bearings.WIDTHS, told(shown_page["bearings"]["rows"], report))
    for heading, items in (("ALSO", "said"), ("TO BE SO ON SITE", "confirm"), ("CAUTIONS", "cautions")):
        yield from _heading(heading) if shown_page[items] else ()
        for item in shown_page[items]:
            yield from wrapped(f"{BOX if items == 'confirm' else '·'} {item}", 1, hang=4 if items == "confirm" else 2)
    yield from wrapped(f"As of {shown_page['as_of']}, report {shown_page['receipt']}", 1)
    yield RULE


def _spaced(rows: Sequence[Sequence[str]]) -> Iterator[Sequence[str]]:
    for row in rows:
        yield row
        yield [""] * len(row)


def _heading(words: str) -> Iterator[str]:
    yield ""
    yield f" {words}"


def _html(reports: Reports) -> bytes:
    from service.formats.html import STYLE
    from service.formats.templating import fill_one

    pages = [page(report, file) for report, file in reports]
    return dressed(fill_one("builder.html", pages=pages, style=STYLE), (report for report, _ in reports))


def _pdf(reports: Reports) -> bytes:
    from service.formats.pdf import set_in_type, standing_alone

    pages = [page(report, file) for report, file in reports]
    alone = [each | {"drawing": standing_alone(each["drawing"])} for each in pages]
    given = dressed(json.dumps(alone, ensure_ascii=False).encode(), (report for report, _ in reports)).decode()
    return set_in_type("builder.typ", given)


FORMS: Mapping[str, Callable[[Reports], bytes]] = {"text": _text, "html": _html, "pdf": _pdf}
"""The formats the page is made in, by the name the command line gives them."""
