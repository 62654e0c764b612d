"""Timber split by what pulls across its grain, EN 1995-1-1 8.1.4. N, mm."""

from __future__ import annotations

from typing import Any

import numpy as np

from rules.library import clause, quantity

SPLIT = clause(
    "8.1.4(3)",
    equation="(8.4), (8.5)",
    seen="read",
    source="h_e, w and w_pl: Porteous and Kermani, Structural Timber Design to Eurocode 5, https://www.eurocode.us/structural-timber-design/f-pfg.html; the root, 14, and b no more than the depth that fasteners reach: LVL Handbook Europe 2025, image 152, https://proofer.faktor.fi/epaper/LVLHandbook_2025/152",
)
HARDWOOD = "The code's expression is for softwood: an engineer must check splitting of this timber."
REACH = (
    "How far is it from the edge that they pull towards to the fastener farthest from it? (fasteners.edge_to_farthest_mm) As near as the nearest "
    "edge they would split it. In solid timber that is not known to be softwood an engineer must check this."
)


def undecided(in_hardwood: Any, says_reach: Any, demand: Any, limit: Any) -> Any:
    """Where the expression does not hold, or where it is not met by what was taken for a distance that nobody states."""
    return in_hardwood | (~says_reach & (demand > limit))


def splitting(factor: Any, b: Any, w: Any, h_e: Any, h: Any) -> Any:
    """F_90,Rk = 14 b w √(h_e/(1 − h_e/h)), N. h_e: from the edge that is pulled at to the farthest hold; as it nears h nothing is left to split."""
    share = np.minimum(h_e / h, 1.0 - 1e-9)
    return factor * b * w * np.sqrt(h_e / (1.0 - share))


@quantity(
    "F_90,Rk",
    "N",
    says="14 b √(h_e/(1 − h_e/h)), b no more than what they reach into; both ways: the lesser of across and along",
    cites=SPLIT,
)
def fastener_splitting(splitting_factor, fastener_pulled, fastener_reach, fastener_point, fastener_crosswise, fastener_room):
    deep = np.maximum(fastener_point, 0.0)
    across = splitting(splitting_factor, deep, 1.0, fastener_reach, fastener_crosswise)
    along = splitting(splitting_factor, fastener_crosswise, 1.0, deep, fastener_room)
    one_way = np.where(fastener_pulled.equals("across"), across, along)
    return np.where(fastener_pulled.equals("both"), np.minimum(across, along), one_way)


@quantity("F_90,Rd", "N", cites=clause("2.4.3", equation="(2.17)"))
def fastener_splitting_resistance(k_mod, fastener_splitting, gamma_m_fasteners):
    return k_mod * fastener_splitting / gamma_m_fasteners
