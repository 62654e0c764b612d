"""The nails, screws or bolts of a brace, where they are stated and not what they carry, EN 1995-1-1 section 8 and 9.2.5."""

from __future__ import annotations

from rules.library import BRACE, STRENGTH, Quantity, Rule, clause, quantity
from rules.packs.eurocode_timber.quantities import block_shear, fasteners, splitting
from rules.packs.eurocode_timber.quantities import bracing_lines as lines
from rules.packs.eurocode_timber.quantities.fastener_places import TABLE, fastener_crowding

WHY = "A brace holds by its nails: too few, too short or too near an edge and the piece bows out as if there were no brace."
SLIP = clause("7.1, 2.2.2(2)", equation="(2.1)", seen="memory")


@quantity("fastened line", "", says="a brace with its fasteners stated, whose pieces need keeping straight")
def carries_by_fasteners(carries_line, fastened):
    return carries_line & fastened


@quantity("fastened row", "", says="a line of single braces with their fasteners stated")
def row_by_fasteners(carries_row, fastened):
    return carries_row & fastened


@quantity("fastened diagonal", "", says="a diagonal with its fasteners stated, and its anchorage declared")
def system_by_fasteners(carries_system, fastened, anchor_fastened):
    return carries_system & fastened & ~anchor_fastened


@quantity("F_d tan θ", "N", says="what a diagonal pulls a piece along with where it takes F_d square to it", cites=lines.STATICS)
def crossing_force_along(crossing_force, angle_sin, angle_cos):
    return crossing_force * angle_sin / angle_cos


@quantity("diagonal under steel", "", says="a diagonal with several fasteners under steel at each piece")
def tears_at_crossing(carries_by_fasteners, is_diagonal, several_under_steel):
    return carries_by_fasteners & is_diagonal & several_under_steel


@quantity("k_u", "N/mm", cites=SLIP)
def fasteners_stiffness(k_u_share, fasteners_slip):
    return k_u_share * fasteners_slip


@quantity("u", "mm", says="stretch and slip of the diagonal under its force, seen square to the pieces", cites=lines.STATICS)
def fastened_deflection(diagonal_force, diagonal_length, e_0_mean, area, fasteners_stiffness, anchor_stiffness, angle_cos):
    flexible = diagonal_length / (e_0_mean * area) + 1.0 / fasteners_stiffness + 1.0 / anchor_stiffness
    return diagonal_force * flexible / angle_cos


@quantity("undecided", "", says="hardwood, or split by what was taken for a distance that is not stated")
def brace_splitting_undecided(fastener_in_hardwood, fastener_says_reach, crossing_force_taken, fastener_splitting_resistance):
    return splitting.undecided(fastener_in_hardwood, fastener_says_reach, crossing_force_taken, fastener_splitting_resistance)


def _rule(part: str, title: str, demand: Quantity, message: str, when: Quantity, because: str, **more: object) -> Rule:
    return Rule(
        slug="brace-fasteners", part=part, title=title, why=WHY, scope=BRACE, purpose=STRENGTH, demand=demand, message=message, when=when,
        because=because, **more,  # type: ignore[arg-type]  # the rest of a rule's own fields
    )  # fmt: skip


RULES = (
    _rule(
        "strength", "The fasteners of a brace take its push and pull", lines.fixing_force,
        "{element}: its fasteners take {demand} at each piece, pushing and pulling, and carry {limit}, under {combination}.",
        carries_by_fasteners, "gives no fasteners, or holds nothing that needs keeping straight", limit=fasteners.fasteners_resistance,
        cites=fasteners.JOHANSEN, remedies=("more fasteners at each crossing", "thicker or longer ones, as far as the timber takes them"),
    ),
    _rule(
        "splitting", "A brace does not split the pieces that it pulls at", lines.crossing_force_taken,
        "{element}: it pulls across each piece with {demand}, where {limit} splits the piece, under {combination}.",
        carries_by_fasteners, "gives no fasteners, or holds nothing that needs keeping straight",
        limit=splitting.fastener_splitting_resistance, cites=splitting.SPLIT, undecided=brace_splitting_undecided, ask=splitting.REACH,
        remedies=("fasteners nearer to the middle of the edge", "longer fasteners"),
    ),
    _rule(
        "block-shear", "A diagonal of steel does not tear a block out of the pieces", crossing_force_along,
        "{element}: it pulls {demand} along the grain of each piece, where {limit} tears out the timber around its fasteners, under {combination}.",
        tears_at_crossing, "is no diagonal with several stated fasteners under steel, or has nothing to keep straight",
        limit=block_shear.block_shear_resistance, cites=block_shear.BLOCK, remedies=block_shear.REMEDIES,
    ),
    _rule(
        "placing", "The fasteners of a brace have the timber around them that they need", fastener_crowding,
        "{element}: of what its fasteners need in distances, length and thickness of timber, the tightest is used by {percent}.",
        carries_by_fasteners, "gives no fasteners, or holds nothing that needs keeping straight", cites=TABLE,
        remedies=("thinner fasteners", "drilling first", "wider timber, or a capacity that somebody declares"),
    ),
    _rule(
        "stiffness", "A brace is stiff enough where its fasteners hold it", lines.needed_stiffness,
        "{element}: its fasteners must be at least {demand} stiff where it holds a piece, and are {limit}, under {combination}.",
        row_by_fasteners, "gives no fasteners, or holds no pressed piece at single points", limit=fasteners_stiffness, cites=SLIP,
        remedies=("more fasteners at each crossing",),
    ),
    _rule(
        "deflection", "The bracing as a whole moves little under the load that keeps the pieces straight", fastened_deflection,
        "{element}: under the load of the system it gives way by {demand}, under {combination}.", system_by_fasteners,
        "is no diagonal with fasteners and a declared anchorage, or has nothing to keep straight", limit=lines.system_deflection_limit,
        cites=clause("9.2.5.3(4)", seen="memory"), remedies=("more diagonals", "more fasteners at their ends"),
    ),
)  # fmt: skip
