"""A report as a drawing: the frame with what was found of each piece, numbered where it stands, and the numbers told below.

All looks are attributes, so that the strictest policy of a browser shows the drawing as it is; nothing is fetched and nothing runs.
"""

from __future__ import annotations

import textwrap
from collections.abc import Callable
from xml.etree import ElementTree
from xml.etree.ElementTree import Element, SubElement

from service.formats.drawing import LOOKS, Drawing, Piece, Point, drawing, unjudged, worst_of
from service.formats.found import headed, others
from service.formats.placing import Sheet, Spot, labelled, named, spots
from service.formats.standing import Reports
from service.formats.text import MEANING, harmless
from service.formats.wording import Values, for_xml, utilisation
from service.units import in_us, spoken

WIDE, NARROW, NARROWEST, LINE, LONGEST = 1000.0, 600.0, 400.0, 20.0, 118
STEEP = 0.4
"""A drawing higher than this share of its width is shown less wide, so that its words are no smaller than on others."""
ABOVE, BELOW = 36.0, 54.0
"""What a frame without numbers needs for names above its highest and for bearings below its lowest point."""
INK, SOFT, PAPER = "#26221c", "#6b6459", "#fdfcf9"
FONT = "Helvetica, Arial, Liberation Sans, Libertinus Serif, sans-serif"
MOST_TOLD = 40


def render(report: Values, source: str | None = None) -> bytes:
    """One report as an SVG drawing. source: the file its design came from."""
    return render_all(((report, source),))


def render_all(reports: Reports) -> bytes:
    """Several reports as one drawing, one below the other."""
    root, at = Element("svg", xmlns="http://www.w3.org/2000/svg"), 0.0
    SubElement(root, "rect", width="100%", height="100%", fill=PAPER)
    for report, source in reports:
        at += _sheet(SubElement(root, "g", transform=f"translate(0 {_n(at)})"), harmless(report), harmless(source))
    root.attrib |= {
        "viewBox": f"0 0 {_n(WIDE)} {_n(at)}",
        "width": _n(WIDE),
        "height": _n(at),
        "font-family": FONT,
        "font-size": "14",
        "role": "img",
        "aria-label": "; ".join(f"{for_xml(harmless(str(report.get('reference'))))}: {_in_words(report)}" for report, _ in reports),
    }
    return b'<?xml version="1.0" encoding="UTF-8"?>\n' + ElementTree.tostring(root) + b"\n"


def figure(report: Values, *, plain: bool = False) -> bytes | None:
    """The frame alone, for a page that tells the findings itself; None where there is nothing to draw. plain: names only, no judgement."""
    shown = harmless(report)
    drawn = drawing(shown, NARROW if plain else WIDE)
    if drawn is None:
        return None
    if plain and drawn.high > STEEP * drawn.wide:
        drawn = drawing(shown, NARROWEST) or drawn
    top, low = _needed(drawn) if plain else (0.0, drawn.high)
    root = Element("svg", {"viewBox": f"0 {_n(top)} {_n(drawn.wide)} {_n(low - top)}", "font-family": FONT, "font-size": "14"})
    root.attrib |= {"role": "img", "aria-label": f"Drawing of the frame: {_in_words(shown)}"}
    _draw(root, unjudged(drawn, _of_bracing(report)) if plain else drawn)
    return ElementTree.tostring(root)


def _needed(drawn: Drawing) -> tuple[float, float]:
    """From where to where, downwards, a drawing without numbers has something on it."""
    heights = [y for piece in drawn.pieces for _, y in piece.ends]
    room = max((piece.wide / 2.0 for piece in drawn.pieces), default=0.0)
    low = drawn.high if drawn.stretched > 1 else max(heights) + max(BELOW, room)
    return max(min(heights) - max(ABOVE, room), 0.0), min(low, drawn.high)


def _in_words(report: Values) -> str:
    """What a drawing shows, for who cannot see it: how many pieces on how many supports."""
    pieces, supports = (len((report.get("frame") or {}).get(part) or []) for part in ("members", "supports"))
    return f"{pieces} piece{'s' * (pieces != 1)} on {supports} support{'s' * (supports != 1)}"


def _of_bracing(report: Values) -> str:
    """All that the bracing schedule says of places."""
    rows = (report.get("bracing") or {}).get("rows") or []
    return " ".join(f"{row.get('where') or ''} {row.get('note') or ''}" for row in rows)


def _sheet(into: Element, report: Values, source: str | None) -> float:
    """Draw one report; returns how high it is."""
    at = 44.0
    verdict = str(report.get("verdict", "open"))
    colour = LOOKS.get(verdict, LOOKS["open"])[0]
    _text(into, 30, at, verdict.upper(), fill=colour, size=24, weight="bold")
    _text(into, 170, at, str(report.get("reference") or ""), size=24)
    for line in filter(
        None, (str(report.get("title") or ""), f"From {source}" if source else "", f"{MEANING.get(verdict, MEANING['open'])}.".capitalize())
    ):
        at += LINE
        _text(into, 30, at, line, fill=SOFT)
    drawn = drawing(report, WIDE)
    if drawn:
        _draw(SubElement(into, "g", transform=f"translate(0 {_n(at)})"), drawn)
        at += drawn.high
        at = _legend(into, at, drawn)
    at = _findings(into, at, drawn, in_us if spoken(report) else str)
    for line in _lines(" ".join(str(caution) for caution in (report.get("cautions") or [])[:1])):
        at += LINE
        _text(into, 30, at, line, fill=SOFT)
    at += LINE
    _text(into, 30, at, f"Report {(report.get('receipt') or {}).get('report', 'without a receipt')}", fill=SOFT, size=12)
    return at + 30.0


def _draw(into: Element, drawn: Drawing) -> None:
    sheet = Sheet(drawn)
    for name, (x, y), holds_sideways in drawn.supports:
        _support(into, name, x, y, holds_sideways)
    for piece in drawn.pieces:
        _piece(into, piece)
    labels, names, found = list(labelled(drawn, sheet, words_on)), list(named(drawn, sheet)), list(spots(drawn.marks, sheet))
    for spot in found:
        _pointer(into, spot)
    for piece, words, at, wide in labels:
        _label(into, piece, words, at, wide)
    for name, (x, y), (middle, low) in names:
        SubElement(into, "circle", cx=_n(x), cy=_n(y), r="2.5", fill=INK)
        _behind(into, middle, low, 7.0 * len(name), 11.0)
        _text(into, middle, low + 4, name, fill=SOFT, size=11, anchor="middle")
    for spot in found:
        _spot(into, spot)
    if drawn.stretched > 1:
        _text(
            into, drawn.wide / 2, drawn.high - 8, f"Drawn {drawn.stretched} times higher than it is.", fill=SOFT, size=11, anchor="middle"
        )


def _piece(into: Element, piece: Piece) -> None:
    colour, dashes, words = LOOKS[piece.worst]
    group = SubElement(into, "g")
    share = f", uses {_share(piece)} of what is allowed" if piece.used is not None else ""
    SubElement(group, "title").text = for_xml(f"{piece.id}: {words}{share}")
    points = " ".join(f"{_n(x)},{_n(y)}" for x, y in piece.ends)
    SubElement(
        group, "polyline", {"points": points, "fill": "none", "stroke": colour, "stroke-opacity": "0.28", "stroke-width": _n(piece.wide)}
    )
    line = {"points": points, "fill": "none", "stroke": colour, "stroke-width": "3" if piece.worst == "fail" else "1.6"}
    SubElement(group, "polyline", line | ({"stroke-dasharray": dashes} if dashes else {}))


def _label(into: Element, piece: Piece, words: str, at: Point, wide: float) -> None:
    x, y = at
    _behind(into, x, y, wide, 15.0)
    _text(into, x, y + 4, words, fill=LOOKS[piece.worst][0], size=12, anchor="middle", weight="bold")


def _behind(into: Element, x: float, y: float, wide: float, high: float) -> None:
    """Paper behind words, so that no line runs through them."""
    box = {"x": _n(x - wide / 2), "y": _n(y - high / 2), "width": _n(wide), "height": _n(high), "rx": "3"}
    SubElement(into, "rect", box | {"fill": PAPER, "fill-opacity": "0.9"})


def words_on(piece: Piece) -> str:
    """What is written on a piece: its name, and how much of what is allowed it uses."""
    return piece.id if piece.used is None else f"{piece.id} {_share(piece)}"


def _share(piece: Piece) -> str:
    return utilisation(piece.used or 0.0, exceeded=(piece.used or 0.0) > 1.0)


def _support(into: Element, name: str, x: float, y: float, holds_sideways: bool) -> None:
    group = SubElement(into, "g", {"stroke": INK, "fill": "none", "stroke-width": "1.4"})
    SubElement(group, "title").text = for_xml(f"Support {name}: holds {'sideways too' if holds_sideways else 'upwards, free to slide'}")
    SubElement(group, "path", d=f"M{_n(x)} {_n(y + 5)}l-11 17h22z")
    if not holds_sideways:
        SubElement(group, "path", d=f"M{_n(x - 14)} {_n(y + 27)}h28")
    _text(into, x, y + 42, name, fill=SOFT, size=11, anchor="middle")


def _pointer(into: Element, spot: Spot) -> None:
    """The line from numbers to the place they are about."""
    (x, y), (to_x, to_y) = spot.at, spot.set_at
    ends = {"x1": _n(x), "y1": _n(y), "x2": _n(to_x), "y2": _n(to_y)}
    SubElement(into, "line", ends | {"stroke": LOOKS[spot.worst][0], "stroke-width": "1"})


def _spot(into: Element, spot: Spot) -> None:
    (x, y), colour = spot.set_at, LOOKS[spot.worst][0]
    box = {"x": _n(x - spot.wide / 2), "y": _n(y - 9), "width": _n(spot.wide), "height": "18", "rx": "9"}
    SubElement(into, "rect", {**box, "fill": PAPER, "stroke": colour, "stroke-width": "1.6"})
    _text(into, x, y + 4, spot.words, fill=colour, size=11, anchor="middle", weight="bold")


def _legend(into: Element, at: float, drawn: Drawing) -> float:
    x = 30.0
    for name in dict.fromkeys(look for look in LOOKS if any(piece.worst == look for piece in drawn.pieces)):
        colour, dashes, words = LOOKS[name]
        line = {
            "x1": _n(x),
            "x2": _n(x + 34),
            "y1": _n(at),
            "y2": _n(at),
            "stroke": colour,
            "stroke-width": "3" if name == "fail" else "1.6",
        }
        SubElement(into, "line", line | ({"stroke-dasharray": dashes} if dashes else {}))
        _text(into, x + 42, at + 4, words, fill=SOFT, size=12)
        x += 62.0 + 7.0 * len(words)
    return at + 14.0


def _findings(into: Element, at: float, drawn: Drawing | None, told_in: Callable[[str], str]) -> float:
    """The numbered findings in words, told in the units the report asks for; returns where they end."""
    told = drawn.told if drawn else ()
    for number, same in enumerate(told[:MOST_TOLD], 1):
        at += 8.0
        finding, look = same[0], LOOKS[worst_of(same)][0]
        for place, line in enumerate(_lines(told_in(headed(finding)))):
            at += LINE
            if place == 0:
                _text(into, 56, at, f"{number}", fill=look, anchor="end", weight="bold")
            _text(into, 66, at, line, fill=look, weight="bold")
        for line in (*_lines(told_in(str(finding.get("message") or ""))), *_lines(others(same))):
            at += LINE
            _text(into, 66, at, line)
    more = sum(map(len, told[MOST_TOLD:]))
    if more > 0:
        at += LINE + 8.0
        _text(into, 66, at, f"and {more} more, which the report tells", weight="bold")
    return at + LINE


def _lines(text: str) -> list[str]:
    return textwrap.wrap(text, LONGEST, break_on_hyphens=False)


def _text(
    into: Element,
    x: float,
    y: float,
    words: str,
    *,
    fill: str = INK,
    size: int = 14,
    anchor: str = "",
    weight: str = "",
) -> None:
    looks = {"x": _n(x), "y": _n(y), "fill": fill, "font-size": str(size)}
    looks |= {"text-anchor": anchor} if anchor else {}
    looks |= {"font-weight": weight} if weight else {}
    SubElement(into, "text", looks).text = for_xml(words)


def _n(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")
