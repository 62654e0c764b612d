"""A truss loaded at its nodes and analysed the simplified way uses only a share of its strength, EN 1995-1-1 9.2.1(5)."""

from __future__ import annotations

import numpy as np

from rules.library import JOINT, MEMBER, STRENGTH, Rule, clause, quantity
from rules.packs.eurocode_timber.formulas.compression import compression_ratio
from rules.packs.eurocode_timber.formulas.plate_anchorage import INVENTED
from rules.packs.eurocode_timber.formulas.tension import tension_ratio
from rules.packs.eurocode_timber.quantities.plate_steel import is_crossed
from rules.packs.eurocode_timber.quantities.plates import is_invented_plate, passes_force
from rules.packs.eurocode_timber.quantities.simplified import node_loaded_most

SHARE = clause("9.2.1(5)")


@quantity("pulled", "", says="a pulled piece of a truss loaded at its nodes, by the simplified analysis", cites=SHARE)
def is_pulled_between_nodes(is_node_loaded, carries_tension):
    return is_node_loaded & carries_tension


@quantity("pressed", "", says="a pressed piece of a truss loaded at its nodes, by the simplified analysis", cites=SHARE)
def is_pressed_between_nodes(is_node_loaded, carries_compression):
    return is_node_loaded & carries_compression


@quantity("passes force", "", says="plates of a truss loaded at its nodes, by the simplified analysis", cites=SHARE)
def holds_between_nodes(is_node_loaded, passes_force):
    return is_node_loaded & passes_force


@quantity("is crossed", "", says="a joint line of a truss loaded at its nodes, by the simplified analysis", cites=SHARE)
def is_crossed_between_nodes(is_node_loaded, is_crossed):
    return is_node_loaded & is_crossed


@quantity("√η_a", "1", cites=SHARE)
def anchorage_used(anchorage_ratio):
    return np.sqrt(anchorage_ratio)


@quantity("√η_p", "1", cites=SHARE)
def steel_used(plate_ratio):
    return np.sqrt(plate_ratio)


def _rule(part: str, title: str, demand, when, **more) -> Rule:
    return Rule(
        slug="node-loaded-truss",
        part=part,
        title=title,
        why="Moments that stiff joints bring into such a truss are in no number of the short way; the share left over stands for them.",
        purpose=STRENGTH,
        demand=demand,
        limit=node_loaded_most,
        when=when,
        because="is no part of a truss loaded at its nodes and analysed the simplified way",
        cites=SHARE,
        message="{element}: it uses {demand} of its strength where {limit} is allowed, {at}, under {combination}.",
        remedies=("a larger section or plate", "the general analysis"),
        **more,
    )


RULES = (
    _rule("tension", "A pulled piece keeps three tenths in hand", tension_ratio, is_pulled_between_nodes, scope=MEMBER),
    _rule("compression", "A pressed piece keeps three tenths in hand", compression_ratio, is_pressed_between_nodes, scope=MEMBER),
    _rule(
        "anchorage", "The plates' teeth keep three tenths in hand", anchorage_used, holds_between_nodes,
        scope=JOINT, undecided=is_invented_plate, ask=INVENTED,
    ),
    _rule(
        "steel", "The plates' steel keeps three tenths in hand", steel_used, is_crossed_between_nodes,
        scope=JOINT, axis="joint-line", undecided=is_invented_plate, ask=INVENTED,
    ),
)  # fmt: skip

__all__ = ["RULES", "is_crossed", "passes_force"]
