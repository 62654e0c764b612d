"""Where the arrays of evidence have their columns: the places of every element, and their names where they have one."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True)
class Spot:
    """A place with a name. words: as a message says it; member: id of the piece it is on; node: of the frame, None within a piece."""

    words: str
    member: str
    node: str | None


@dataclass(frozen=True, slots=True)
class Places:
    """ids: the elements; slices: where each has its places; at: mm along the element, None where a place is the element; spots: of every
    place, where places have names; pointers: of every element, where kind and index do not say it."""

    ids: tuple[str, ...]
    slices: tuple[slice, ...]
    at: NDArray[np.float64] | None = None
    spots: tuple[Spot, ...] = ()
    pointers: tuple[str, ...] = ()
