"""Where the force of bracing ends, in the caller's own words: something that stands by itself, or a word put there to get past the question.

Nobody can tell from words whether a wall can take it. Words that name no part of a building at all are for a person to look at.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from rules.judge.judgement import EngineRule, Judgement
from rules.judge.restraints import NOTHING, names_bracing
from rules.library.rule import Kind
from rules.subject.design import Design
from rules.subject.faults import pointer
from rules.subject.holding import Bracing

STANDS = EngineRule(
    "bracing-ends-in-what-stands",
    "What takes the force of bracing in the end is a part of the building",
    "A brace that ends in nothing holds nothing, whatever is written there.",
)
PARTS = (
    "wall", "gable", "plate", "mason", "brick", "block", "stone", "concrete", "slab", "beam", "steel", "floor", "ceiling", "deck", "board", "sheath",
    "sarking", "panel", "diaphragm", "frame", "portal", "column", "pier", "post", "purlin", "ridge", "joist", "rafter", "truss", "girder",
    "foundation", "ground", "core", "chimney", "buttress", "building", "house", "roof",
)  # fmt: skip
"""Words of parts of a building that may stand by themselves: how a word begins, or what a compound holds behind its first SOME letters."""
SOME = 3


def ends_of_bracing(design: Design) -> Iterator[Judgement]:
    """A question for every end in words that names no part of a building, once each."""
    listed = design.bracing if isinstance(design.bracing, tuple) else ()
    inside = {item.id for item in listed} | {None, NOTHING}
    asked: dict[str, tuple[int, Bracing]] = {}
    for index, item in enumerate(listed):
        if item.anchored_to is not None and item.anchored_to not in inside and not _names_a_part(item.anchored_to):
            asked.setdefault(item.anchored_to, (index, item))
    for words, (index, item) in asked.items():
        message = f"{item.id} is anchored to “{words}”, which is no item of the bracing and names no part of a building. Does its force end there? (bracing.anchored_to)"
        at = pointer("bracing", index, "anchored_to")
        yield Judgement(STANDS, "brace", item.id, index, Kind.REVIEW, message=message, pointer=at)


def _names_a_part(words: str) -> bool:
    """Or another brace, of which the restraints that rest on it are asked."""
    said = re.findall(r"[^\W\d_]+", words.lower())
    return names_bracing(words) or any(word.startswith(part) or part in word[SOME:] for word in said for part in PARTS)
