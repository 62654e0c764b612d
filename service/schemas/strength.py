"""Shapes of what fixings, straps and hangers are declared to carry."""

from __future__ import annotations

from rules.subject.holding import BASES, K_MOD_RULES
from service.schemas.fastening import FastenersSchema
from service.schemas.fields import DocumentSchema, Flag, Number, Part, Text, Whole, Word


class StrengthSchema(DocumentSchema):
    """What a fixing, strap or hanger carries, and how the number is meant. Without its basis it decides nothing."""

    kn = Number("The force it carries.", 0.9, "kN", least=0, most=1e5)
    stiffness_kn_per_mm = Number("How stiff it is: force over slip.", 1.0, "kN/mm", above=0, most=1e9)
    basis = Word("“design”: ready to compare, for loads of any duration; “characteristic”: still to be divided by gamma_m.", BASES)
    gamma_m = Number("Partial factor of a characteristic value.", 1.3, "1", least=1, most=10)
    k_mod = Word("Whether a characteristic value falls with the load's duration as timber does.", K_MOD_RULES)
    document = Text("Where it is declared or worked out.", "Declaration of performance 31-2026", longest=200)
    invented = Flag("The figure is made up for a demonstration; then nothing passes because of it.")


class StrapSchema(DocumentSchema):
    """What holds a bearing down."""

    what = Text("What it is and how it is fixed.", "strap 30 × 2.5 mm, 1 m down the wall", longest=200)
    bearings = Whole("How many bearings alike one strap holds.", 2, least=1, most=1000)
    capacity = Part(StrengthSchema, "What one strap carries, its fixings and the wall it is fixed to included.")
    fasteners = Part(
        FastenersSchema,
        "What fixes it to the piece, or to the wall plate where it holds several bearings, in place of capacity: what they carry is worked out.",
    )
    rest_capacity = Part(StrengthSchema, "With fasteners: what the strap itself and what it is fixed to below carry.")
