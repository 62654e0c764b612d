"""The rule packs as one HTML page a stranger can read: what holds where, since when, by whose word, and how far we saw it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from service.formats.html import STYLE
from service.formats.templating import fill_one
from service.formats.text import harmless

Page = Mapping[str, Any]
LAYERS = (
    ("code", "Codes of practice"),
    ("grades", "Grades of timber"),
    ("national", "National choices"),
    ("region", "Rules of a region"),
    ("practice", "Practice"),
)
"""The layers in the order in which later ones may replace numbers of earlier ones, and what a reader calls them."""
SEEN = {"read": "read", "memory": "from memory", "practice": "common practice, no published source"}


def render_packs(pages: Iterable[Page], broken: Iterable[Page] = ()) -> bytes:
    """All packs, in the shape the catalogue gives of each, as one page in UTF-8. broken: packs that were found and cannot be used."""
    packs = [harmless(page) for page in pages]
    layers = [(title, [pack for pack in packs if pack["layer"] == layer]) for layer, title in LAYERS]
    held = [(title, chosen) for title, chosen in layers if chosen]
    return fill_one("packs.html", style=STYLE, layers=held, seen=SEEN, broken=[harmless(each) for each in broken])
