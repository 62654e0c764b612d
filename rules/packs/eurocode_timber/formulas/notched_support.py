"""Shear at a notch over a bearing, EN 1995-1-1 6.5.2 with the crack factor of A1:2008."""

from __future__ import annotations

from rules.library import MEMBER, STRENGTH, Rule, quantity
from rules.packs.eurocode_timber.quantities.cuts import NOTCH


@quantity("τ_d / (k_v f_v,d)", "1", cites=NOTCH)
def notched_support_ratio(tau_left, k_v, f_vd):
    return tau_left / (k_v * f_vd)


@quantity("notched over a bearing", "", says="timber with a notch over a bearing, where it carries shear")
def is_notched_support(is_notch_over_bearing, is_sheared):
    return is_notch_over_bearing & is_sheared


RULE = Rule(
    slug="notched-support",
    title="A notch over a bearing does not split the piece",
    why="A square notch at the end of a joist pulls its fibres apart at the corner: it splits along the grain long before it breaks.",
    scope=MEMBER,
    purpose=STRENGTH,
    demand=notched_support_ratio,
    when=is_notched_support,
    because="has no notch over a bearing",
    cites=NOTCH,
    message="{element}: the notch over its bearing uses {percent} of the strength left, {at}, under {combination}.",
    remedies=("a shallower notch", "a notch that runs out at a slope", "a corner nearer the bearing"),
)
