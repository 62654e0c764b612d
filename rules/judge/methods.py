"""Which analysis the caller chose where the code in force leaves a choice, and what each of them means for the reader."""

from __future__ import annotations

from rules.library.choosing import Selection
from rules.subject.settled import Assumption

CHOICE = "analysis"
"""The word among a code's values by which the caller chooses (codes.parameters)."""
GENERAL, SIMPLIFIED, SECOND_ORDER = "general", "simplified", "second-order"
STRENGTH_SET = "ultimate"
"""The set of combinations the choice is for: movements and loss of balance are always those of the frame in first order."""

SAID = {
    GENERAL: "The forces are those of the frame as it stands, in first order with mean stiffness; pressed pieces buckle by the code's factors.",
    SIMPLIFIED: (
        "Chosen by the design: axial forces as if every piece were pinned at its nodes, moments of pieces that run through as of beams on "
        "firm nodes, lessened over the nodes; movements are still those of the frame as it stands."
    ),
    SECOND_ORDER: (
        "Chosen by the design: balance on the displaced frame, which leans and bows before it is loaded, with design stiffness; pieces are not "
        "judged for buckling in the plane by factors again, sideways they are. Movements are those of first order."
    ),
}


def method(selection: Selection) -> str:
    """The analysis that strength is judged from; the general one where the code leaves no choice."""
    value = selection.values.get(CHOICE)
    return str(value.number) if value is not None else GENERAL


def said_of_the_choice(selection: Selection) -> tuple[Assumption, ...]:
    """The choice as a report tells it; nothing where there was none."""
    if CHOICE not in selection.values:
        return ()
    word = method(selection)
    cited = {name: said for name, said in selection.values[CHOICE].cites.plain().items() if said is not None}
    return (Assumption("/codes/parameters/analysis", word, SAID[word], "engineer", cited),)
