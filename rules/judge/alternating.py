"""Forces in joints that act one way under some combinations and the other way under others: by turns they tire a joint more than either.

The code in force says, by load duration, what share of the greatest force the other way each force grows by (`alternating_share`).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rules.judge.effects import Effects
from rules.library.given import Given
from rules.library.value import Table, Value
from rules.subject.settled import CombinationSet

Floats = NDArray[np.float64]
SHARE = "alternating_share"
FORCES = ("p_x", "p_y", "q_x", "q_y")


def with_other_way(value: Value | None, base: CombinationSet, rows: NDArray[np.intp], effects: Effects) -> Effects:
    """The effects at joints, their forces grown. value: the shares, None where no code in force asks for it; rows: the combination
    that stands in each row of the effects."""
    if value is None or value.table is None:
        return effects
    shares = np.array([_share(value.table, duration) for duration in base.durations])[rows]
    lasting = np.flatnonzero(shares)
    if len(lasting) < 2:
        return effects
    x, y = ("p_x", "p_y") if "p_x" in effects else ("q_x", "q_y")
    force = np.stack([effects[x][lasting], effects[y][lasting]], axis=-1)
    more = shares[lasting, None, None] * _other_way(force)
    grown = {x: effects[x].copy(), y: effects[y].copy()}
    grown[x][lasting] += more[..., 0]
    grown[y][lasting] += more[..., 1]
    return effects | grown


def said_so(value: Value | None, given: dict[str, Given]) -> dict[str, Given]:
    """The givens of these forces, which say that they hold more than acts at once, and by which number of the code."""
    if value is None:
        return {}
    more = ", with the share that the code asks for of the greatest that acts the other way by turns under loads that last"
    return {name: given[name]._replace(what=f"{given[name].what}{more}", number=value) for name in FORCES if name in given}


def _share(table: Table, duration: str | None) -> float:
    found = table.look_up([duration or ""])
    return found if isinstance(found, float) else 0.0


def _other_way(force: Floats) -> Floats:
    """(rows, places, 2) for every force, as long as the greatest that acts against it in any other row, in its own direction."""
    size = np.hypot(force[..., 0], force[..., 1])
    way = force / np.where(size > 0.0, size, 1.0)[..., None]
    against = [np.maximum(-(way[:, place] @ force[:, place].T).min(axis=1), 0.0) for place in range(force.shape[1])]
    return np.asarray(np.stack(against, axis=1)[..., None] * way)
