"""What somebody declares of fixings and anchorages of bracing, beside what the brace could ever hand them: a slip of a digit passes everything else."""

from __future__ import annotations

from rules.library import BRACE, PRACTICE, Kind, Quantity, Rule, quantity
from rules.packs.eurocode_timber.quantities import bracing_lines as lines

WHY = "A figure for a whole roof, or with a digit too many, passes whatever the brace collects."


@quantity("declared line", "", says="a line whose fixings are declared, its section and grade stated")
def fixings_to_compare(line_by_declaration, fixing_comparable):
    return line_by_declaration & fixing_comparable


@quantity("declared anchorage", "", says="a line whose anchorage is declared, its section and grade stated")
def anchorage_to_compare(leaves_by_declaration, anchor_comparable):
    return leaves_by_declaration & anchor_comparable


def _rule(part: str, title: str, demand: Quantity, message: str, when: Quantity) -> Rule:
    return Rule(
        slug="bracing-declared", part=part, title=title, why=WHY, scope=BRACE, purpose=PRACTICE, demand=demand, limit=lines.brace_tears,
        message=message, when=when, because="holds nothing that needs keeping straight, declares nothing here, or states no section or grade",
        cites=lines.STATICS, beyond=Kind.REVIEW,
    )  # fmt: skip


RULES = (
    _rule(
        "fixings", "What is declared of a brace's fixings is no more than would tear the brace", lines.fixing_resistance,
        "{element}: its fixings are declared to carry {demand}, and {limit} tears the brace itself; see that the figure is meant for one piece.",
        fixings_to_compare,
    ),
    _rule(
        "anchorage", "What is declared of the anchorage of a brace is no more than would tear the brace", lines.anchor_resistance,
        "{element}: its anchorage is declared to carry {demand}, and {limit} tears the brace itself; see that the figure is meant for one place.",
        anchorage_to_compare,
    ),
)  # fmt: skip
