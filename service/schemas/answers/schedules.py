"""The schedules of a report: its bearings, and its bracing piece by piece."""

from __future__ import annotations

from service.schemas.answers.fields import AnswerSchema, many, number, text


class BearingRowSchema(AnswerSchema):
    """One bearing."""

    support = text("Id of the support.", "S1")
    on = text("What is below.", "wall-plate", nullable=True)
    member = text("The piece that bears.", "BC", nullable=True)
    down_kn = number("Greatest force downwards.", "kN", nullable=True)
    up_kn = number("Greatest force upwards.", "kN", nullable=True)
    bearing_mm = number("Length along the span that is counted: as specified, or as found where that is less.", "mm", nullable=True)
    found_mm = number("Length found on site.", "mm", nullable=True)
    needed_mm = number(
        "Length that the piece and the timber below it want; null where the code in force does not say.", "mm", nullable=True
    )
    held_by = text("What holds it down, or the hanger it sits in.", "strap 30 × 2.5 mm", nullable=True)
    status = text("given, open, fails.", "given")


class BraceRowSchema(AnswerSchema):
    """One line of the bracing schedule."""

    item = text("Id of the item of bracing, or what is missing.", "rafter-diagonals")
    kind = text("What it is, in words; empty where nothing is given.", "diagonals")
    where = text("Where it is fixed.", "4, on the lower edge of TC1, TC2, at 45° across them")
    section = text("Its section and grade.", "100 × 25 mm C16", nullable=True)
    fixing = text("How it is fixed.", nullable=True)
    holds = text("What it holds, or takes from others.", nullable=True)
    each_kn = number("What its fixings to each piece must take, either way.", "kN", nullable=True)
    line_kn = number("What the place that takes its force must take, either way.", "kN", nullable=True)
    anchored_to = text("What takes its force in the end.", nullable=True)
    status = text("given, fails, open, missing, not listed, on site, own design.", "given")
    note = text("What is missing or still to be said; may be empty.")


class BracingPartSchema(AnswerSchema):
    """Piece by piece what is fixed where, and what is missing. It repeats what was found, for whoever fixes the braces."""

    stated = text("How the design speaks of its bracing.", "listed")
    rows = many(BraceRowSchema, "The items, then what is missing, then what others see to.")
