"""Shear at a notch over a bearing, NDS 3.4.3.2, and how deep such a notch may be, 4.4.3."""

from __future__ import annotations

from rules.library import MEMBER, ONE, STRENGTH, Quantity, Rule, clause, quantity

NOTCH = clause("3.4.3.2", equation="(3.4-3)")
DEPTH = clause("4.4.3")


@quantity("d_n/d", "1", says="the depth left over the whole")
def depth_left(cut_depth, h):
    return (h - cut_depth) / h


@quantity(
    "f_v / (F_v' (d_n/d)²)", "1", cites=NOTCH, says="|V| over (2/3) F_v' b d_n (d_n/d)², as on the pulled face, whichever face is notched"
)
def notched_support_ratio(shear_stress, f_v_adjusted, depth_left):
    return shear_stress / (f_v_adjusted * depth_left**3)


@quantity("notched over a bearing", "", says="timber with a notch over a bearing, where it carries shear")
def is_notched_support(is_notch_over_bearing, is_sheared):
    return is_notch_over_bearing & is_sheared


@quantity("depth of the notch", "mm", cites=DEPTH)
def notch_depth(cut_depth):
    return cut_depth


@quantity("limit", "mm", cites=DEPTH)
def notch_depth_limit(notch_share, h):
    return notch_share * h


def _rule(part: str, title: str, demand: Quantity, message: str, limit: Quantity = ONE) -> Rule:
    return Rule(
        slug="notched-support",
        part=part,
        title=title,
        why="A square notch at the end of a joist pulls its fibres apart at the corner: it splits along the grain long before it breaks.",
        scope=MEMBER,
        purpose=STRENGTH,
        demand=demand,
        limit=limit,
        when=is_notched_support,
        because="has no notch over a bearing",
        cites=DEPTH if part == "depth" else NOTCH,
        message=message,
        remedies=("a shallower notch",),
    )


RULES = (
    _rule(
        "shear",
        "A notch over a bearing does not split the piece",
        notched_support_ratio,
        "{element}: the notch over its bearing uses {percent} of the strength left, {at}, under {combination}.",
    ),
    _rule(
        "depth",
        "A notch over a bearing is no deeper than a quarter of the piece",
        notch_depth,
        "{element}: the notch over its bearing is {demand} deep where {limit} is the most, {at}.",
        notch_depth_limit,
    ),
)
