"""The nails, screws or bolts of straps and hangers, where they are stated, EN 1995-1-1 section 8; the steel itself is declared."""

from __future__ import annotations

import numpy as np

from rules.library import STRENGTH, SUPPORT, Quantity, Rule, quantity
from rules.packs.eurocode_timber.formulas.holding_down import EQUILIBRIUM
from rules.packs.eurocode_timber.quantities import block_shear, fasteners, splitting
from rules.packs.eurocode_timber.quantities.fastener_places import TABLE, fastener_crowding

WHY = "A strap or hanger is no stronger than what fixes it to the timber."
UNSTATED = "has no fasteners stated that take a force here"


@quantity("F_d", "N", says="what all bearings that it holds pull it up with", cites=EQUILIBRIUM)
def pull_on_fasteners(down, bearings_held):
    return np.maximum(-down, 0.0) * bearings_held


@quantity("F_d", "N", says="downward force on the fasteners of a hanger")
def load_on_fasteners(down):
    return np.maximum(down, 0.0)


@quantity("fastened, lifted", "", says="lifted, held by a strap or hanger whose fasteners are stated, not by a declared strap beside it")
def lifted_by_fasteners(down, axial_floor, fastened, is_held_apart):
    return (down < -axial_floor) & fastened & ~is_held_apart


@quantity("fastened, hung", "", says="a downward force in a hanger whose fasteners are stated")
def hung_by_fasteners(in_hanger, strapped, down, axial_floor, fastened):
    return in_hanger & ~strapped & (down > axial_floor) & fastened


@quantity("fastened, loaded", "", says="either of these")
def works_by_fasteners(lifted_by_fasteners, hung_by_fasteners):
    return lifted_by_fasteners | hung_by_fasteners


@quantity("fastened across", "", says="either of these, but for a hanger hooked over the top of what carries it")
def pulls_by_fasteners(lifted_by_fasteners, hung_by_fasteners, hung_on_top):
    return lifted_by_fasteners | (hung_by_fasteners & ~hung_on_top)


@quantity(
    "F_v,Ed", "N", says="the greater shear beside the fasteners, and the whole of what they pull with at least", cites=splitting.SPLIT
)
def shear_at_fasteners(pull_on_fasteners, load_on_fasteners, fastener_outside, fastener_shear, v_before, v_after):
    beside = np.where(fastener_outside, fastener_shear, np.maximum(np.abs(v_before), np.abs(v_after)))
    return np.maximum(beside, np.maximum(pull_on_fasteners, load_on_fasteners))


@quantity(
    "F_d cos α",
    "N",
    says="what a strap pulls the piece it is fixed to along the grain with",
    cites=EQUILIBRIUM,
)
def pull_along_grain(pull_on_fasteners, cos_to_grain):
    return pull_on_fasteners * cos_to_grain


@quantity("along, under steel", "", says="lifted, the fasteners of its strap several, and the piece not level")
def tears_at_strap(lifted_by_fasteners, several_under_steel, fastener_outside, down, cos_to_grain, axial_floor):
    return lifted_by_fasteners & several_under_steel & ~fastener_outside & (-down * cos_to_grain > axial_floor)


@quantity("undecided", "", says="hardwood, or split by what was taken for a distance that is not stated")
def bearing_splitting_undecided(fastener_in_hardwood, fastener_says_reach, shear_at_fasteners, fastener_splitting_resistance):
    return splitting.undecided(fastener_in_hardwood, fastener_says_reach, shear_at_fasteners, fastener_splitting_resistance)


def _rule(part: str, title: str, demand: Quantity, message: str, when: Quantity, because: str = UNSTATED, **more: object) -> Rule:
    return Rule(
        slug="bearing-fasteners", part=part, title=title, why=WHY, scope=SUPPORT, purpose=STRENGTH, demand=demand, message=message, when=when,
        because=because, **more,  # type: ignore[arg-type]  # the rest of a rule's own fields
    )  # fmt: skip


RULES = (
    _rule(
        "up", "The fasteners of what holds a bearing down carry its uplift", pull_on_fasteners,
        "Support {element}: its fasteners are pulled with {demand} and carry {limit}, under {combination}.", lifted_by_fasteners,
        under=("equilibrium", "ultimate"), limit=fasteners.fasteners_resistance, cites=fasteners.JOHANSEN,
        remedies=("more fasteners, in lines side by side", "a strap at every truss"),
    ),
    _rule(
        "down", "The fasteners of a hanger carry what bears on it", load_on_fasteners,
        "Support {element}: the hanger's fasteners take {demand} and carry {limit}, under {combination}.", hung_by_fasteners,
        limit=fasteners.fasteners_resistance, cites=fasteners.JOHANSEN, remedies=("every hole of the hanger filled", "a larger hanger"),
    ),
    _rule(
        "splitting", "What straps and hangers pull across is not split by it", shear_at_fasteners,
        "Support {element}: {demand} of shear beside the fasteners, where {limit} splits the timber they pull across, under {combination}.",
        pulls_by_fasteners, under=("equilibrium", "ultimate"), limit=splitting.fastener_splitting_resistance, cites=splitting.SPLIT,
        undecided=bearing_splitting_undecided, ask=splitting.REACH,
        remedies=("fasteners farther from the edge they pull towards", "a strap over the far edge", "a hanger over the top", "deeper timber"),
    ),
    _rule(
        "block-shear", "A strap does not tear a block out of the piece it holds down", pull_along_grain,
        "Support {element}: its strap pulls {demand} along the grain of the piece, where {limit} tears out the timber around its fasteners, under {combination}.",
        tears_at_strap, under=("equilibrium", "ultimate"), limit=block_shear.block_shear_resistance, cites=block_shear.BLOCK,
        remedies=block_shear.REMEDIES,
        because="has no strap whose fasteners are stated and pull along the grain of the piece",
    ),
    _rule(
        "placing", "The fasteners of straps and hangers have the timber around them that they need", fastener_crowding,
        "Support {element}: of what its fasteners need in distances, length and thickness of timber, the tightest is used by {percent}.",
        works_by_fasteners, under=("equilibrium", "ultimate"), cites=TABLE, remedies=("thinner fasteners", "drilling first", "wider timber"),
    ),
)  # fmt: skip
