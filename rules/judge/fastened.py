"""Givens of fasteners that fix a brace, a strap or a hanger: what they are, and the timber they pass through and end in."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import chain

import numpy as np

from rules.judge.fixing import BEARING, DENSITY, SHEAR, TENSION, Fixing
from rules.library.given import Given
from rules.library.labels import Labels
from rules.subject.material import MEAN_DENSITY

BRACES, STRAPS, ANCHORS = "bracing.fasteners", "held_down_by.fasteners or hangers.fasteners", "bracing.anchor.fasteners"
"""Where in a design fasteners stand."""
PULLED = "Which way does the force go: across the fasteners or along them?"
SKEW = " What nails driven askew carry is not worked out: what are they declared to carry, in place of fasteners?"


def fastener_givens(fixings: Sequence[Fixing], part: str) -> tuple[Given, ...]:
    """Of every place. part: where in a design its fasteners stand, for the questions. Without any, one empty place stands for all."""
    return _givens(fixings, part) if any(each.fasteners for each in fixings) else UNFASTENED[part]


def _givens(fixings: Sequence[Fixing], part: str) -> tuple[Given, ...]:
    said = (_words, _sizes, _strengths, _across_the_grain, _timber)
    return tuple(chain.from_iterable(each(fixings, part) for each in said))


def _ask(question: str, part: str, field: str) -> str:
    return f"{question} ({part}.{field})"


def _words(fixings: Sequence[Fixing], part: str) -> tuple[Given, ...]:
    def given(name: str, what: str, words: Sequence[str | None], field: str, question: str) -> Given:
        return Given(name, what, "", what, Labels.of(words), _ask(question, part, field))

    def yes(name: str, what: str, values: Sequence[bool]) -> Given:
        return Given(name, what, "", what, np.array(values, dtype=np.bool_))

    skew = [each.fasteners is not None and each.fasteners.askew for each in fixings]
    pulls = [each.fasteners.pulled if each.fasteners and not each.fasteners.askew else None for each in fixings]
    return (
        yes("fastened", "by fasteners", [each.fasteners is not None for each in fixings]),
        yes("fastener_is_screw", "screw", [each.is_a("screw") for each in fixings]),
        yes("fastener_is_bolt", "bolt", [each.is_a("bolt") for each in fixings]),
        yes("fastener_is_smooth", "smooth nail", [each.is_smooth for each in fixings]),
        yes(
            "fastener_drilled", "predrilled", [bool(each.fasteners and each.fasteners.predrilled) or each.is_a("bolt") for each in fixings]
        ),
        given("fastener_kind", "kind", [each.fasteners.kind if each.fasteners else None for each in fixings], "kind", "What are they?"),
        given("fastener_family", "family", [each.family for each in fixings], "kind", "What are they?"),
        yes("fastener_outside", "no piece of the design", [each.outside for each in fixings]),
        yes("fastener_says_reach", "stated h_e", [each.says_reach for each in fixings]),
        yes("fastener_in_hardwood", "in hardwood", [each.in_hardwood for each in fixings]),
        given("nail_form", "form", [each.form for each in fixings], "form", "Of which form is the nails' shank?"),
        yes("several_under_steel", "several through steel, pulled across", [each.is_several_under_steel for each in fixings]),
        yes("fastener_one_of_many", "one of many close together", [each.one_of_many for each in fixings]),
        given("fastener_pulled", "pulled", pulls, "pulled", f"{PULLED}{SKEW if any(skew) else ''}"),
    )


def _sizes(fixings: Sequence[Fixing], part: str) -> tuple[Given, ...]:
    def given(symbol: str, field: str, what: str, values: Sequence[float], unit: str = "mm") -> Given:
        question = f"What is the {what}?"
        return Given(
            f"fastener_{field.removesuffix('_mm').removesuffix('_deg')}", symbol, unit, what, np.array(values), _ask(question, part, field)
        )

    several = [each.in_row > 1.0 for each in fixings]
    lines = [each.fasteners is not None and each.in_row < each.fasteners.count for each in fixings]
    headed = [each.drawn and not each.plate_mm > 0.0 and not each.is_a("bolt") for each in fixings]
    threaded = [each.drawn and not each.is_smooth and not each.is_a("bolt") for each in fixings]
    bolts = [each.drawn and each.is_a("bolt") for each in fixings]
    both = [each.pulled_both_ways for each in fixings]
    return (
        given("n", "count", "number of fasteners", [each.number("count") for each in fixings], "1"),
        Given(
            "fastener_line_count",
            "n_1",
            "1",
            "number of fasteners in one line along the grain, where it is stated",
            np.array([each.in_line for each in fixings]),
            _ask("How many stand in one line along the grain, and so how many lines are there?", part, "in_row"),
        ),
        given("n_row", "in_row", "number of fasteners in one line along the grain", [each.in_row for each in fixings], "1"),
        given("d", "diameter_mm", "diameter of the fasteners", [each.number("diameter_mm") for each in fixings]),
        given("l", "length_mm", "length of the fasteners", [each.number("length_mm") for each in fixings]),
        given(
            "Δ",
            "play_mm",
            "play of the bolts in their holes in the timber",
            [each.on_demand("play_mm", each.is_a("bolt")) for each in fixings],
        ),
        given("d_1", "root_mm", "core of the thread", [each.on_demand("root_mm", each.is_a("screw")) for each in fixings]),
        given("d_h", "head_mm", "diameter of the head", _demanded(fixings, "head_mm", headed)),
        given("l_g", "thread_mm", "length of thread or profile in the timber", _demanded(fixings, "thread_mm", threaded)),
        given("s_1", "spacing_mm", "distance of the fasteners in one line along the grain", _demanded(fixings, "spacing_mm", several)),
        given("s_2", "row_spacing_mm", "distance of their lines from each other", _demanded(fixings, "row_spacing_mm", lines)),
        given("s_3", "end_mm", "least distance from the fasteners to an end", [each.number("end_mm") for each in fixings]),
        given("s_4", "edge_mm", "least distance from the fasteners to an edge", [each.number("edge_mm") for each in fixings]),
        given("θ", "pull_angle_deg", "angle between the force and the fasteners", _demanded(fixings, "pull_angle_deg", both), "°"),
        given("d_w", "washer_mm", "diameter of the washers at both ends", _demanded(fixings, "washer_mm", bolts)),
        given("t_w", "washer_thickness_mm", "thickness of these washers", _demanded(fixings, "washer_thickness_mm", bolts)),
        given("t_s", "plate_mm", "thickness of the steel under the heads", [each.plate_mm for each in fixings]),
    )


def _demanded(fixings: Sequence[Fixing], field: str, asked: Sequence[bool]) -> list[float]:
    return [each.on_demand(field, so) for each, so in zip(fixings, asked, strict=True)]


def _strengths(fixings: Sequence[Fixing], part: str) -> tuple[Given, ...]:
    """What their maker declares, nought where another way leads to it."""

    def given(name: str, symbol: str, unit: str, what: str, values: Sequence[float], field: str, scale: float = 1.0) -> Given:
        ask = _ask(f"What is the {what}? A figure marked as invented does not count.", part, field)
        return Given(name, symbol, unit, what, scale * np.array(values), ask)

    by_wire = [math.isnan(each.number("m_y_k_nmm")) for each in fixings]
    ringed = [each.drawn and each.is_a("nail") and not each.is_smooth for each in fixings]
    through = [each.drawn and each.is_a("nail", "screw") and not each.is_smooth and not each.plate_mm > 0.0 for each in fixings]
    screwed = [each.drawn and each.is_a("screw") for each in fixings]
    return (
        given("fastener_f_u", "f_u", "N/mm²", "tensile strength of their wire", _demanded(fixings, "f_u_mpa", by_wire), "f_u_mpa"),
        given(
            "fastener_m_y", "M_y,k", "N·mm", "declared yield moment", _demanded(fixings, "m_y_k_nmm", [False] * len(fixings)), "m_y_k_nmm"
        ),
        given(
            "fastener_f_ax",
            "f_ax,k",
            "N/mm²",
            "declared strength against withdrawal",
            _demanded(fixings, "f_ax_k_mpa", ringed),
            "f_ax_k_mpa",
        ),
        given(
            "fastener_f_head",
            "f_head,k",
            "N/mm²",
            "declared strength against the head being pulled through",
            _demanded(fixings, "f_head_k_mpa", through),
            "f_head_k_mpa",
        ),
        given(
            "fastener_f_tens",
            "f_tens,k",
            "N",
            "declared tensile strength of one",
            _demanded(fixings, "f_tens_k_kn", screwed),
            "f_tens_k_kn",
            1000.0,
        ),
    )


def _across_the_grain(fixings: Sequence[Fixing], part: str) -> tuple[Given, ...]:
    """What decides whether they split the timber that their points end in."""

    def given(name: str, symbol: str, unit: str, what: str, values: Sequence[float], field: str) -> Given:
        return Given(name, symbol, unit, what, np.array(values), _ask(f"What is the {what}?", part, field))

    shear = [1000.0 * each.on_demand("shear_beside_kn", each.outside) for each in fixings]
    depth, edge = (
        "depth of the timber that the points end in, across its grain",
        "distance from the edge they pull towards to the farthest of them",
    )
    beside = "greatest shear force beside them in the timber that the points end in"
    return (
        given("fastener_crosswise", "h", "mm", depth, [each.crosswise_mm for each in fixings], "section of that timber"),
        given("fastener_reach", "h_e", "mm", edge, [each.reach_mm for each in fixings], "edge_to_farthest_mm"),
        given("fastener_shear", "V", "N", beside, shear, "shear_beside_kn"),
    )


def _timber(fixings: Sequence[Fixing], part: str) -> tuple[Given, ...]:
    def given(name: str, symbol: str, unit: str, what: str, values: Sequence[float]) -> Given:
        return Given(
            name, symbol, unit, what, np.array(values), f"What is the {what}? ({part}; the grades and sections of the pieces it joins)"
        )

    return (
        given("fastener_through", "t_1", "mm", "thickness of the timber under the heads", [each.through_mm for each in fixings]),
        given("fastener_room", "t", "mm", "thickness of the timber that the points end in", [each.room_mm for each in fixings]),
        given("rho_head", "ρ_k,1", "kg/m³", "density of the timber under the heads", [each.least(DENSITY, "head") for each in fixings]),
        given(
            "rho_point",
            "ρ_k,2",
            "kg/m³",
            "density of the timber that the points end in",
            [each.least(DENSITY, "point") for each in fixings],
        ),
        given(
            "rho_dense",
            "ρ_k,max",
            "kg/m³",
            "density of the denser timber",
            [each.greatest(DENSITY, "head point") for each in fixings],
        ),
        given(
            "fastener_bearing",
            "f_c,90,k",
            "N/mm²",
            "strength across the grain under the washers",
            [each.least(BEARING, "head point") if each.drawn and each.is_a("bolt") else 0.0 for each in fixings],
        ),
        given("fastener_f_t", "f_t,0,k", "N/mm²", "tensile strength along the grain that the points end in", _point(fixings, TENSION)),
        given("fastener_f_v", "f_v,k", "N/mm²", "shear strength that the points end in", _point(fixings, SHEAR)),
        given("rho_mean_head", "ρ_m,1", "kg/m³", "mean density under the heads", [each.least(MEAN_DENSITY, "head") for each in fixings]),
        given(
            "rho_mean_point",
            "ρ_m,2",
            "kg/m³",
            "mean density that the points end in",
            [each.least(MEAN_DENSITY, "point") for each in fixings],
        ),
    )


def _point(fixings: Sequence[Fixing], field: str) -> list[float]:
    return [each.least(field, "point") for each in fixings]


UNFASTENED: Mapping[str, tuple[Given, ...]] = {part: _givens((Fixing(None),), part) for part in (BRACES, STRAPS, ANCHORS)}
"""What is told where nothing is fastened: the same of every design."""
