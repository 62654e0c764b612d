"""What the process does with its memory: that which a check worked in stays for the next one, and rings of garbage are seldom looked for.

A check fills arrays of a quarter of a megabyte by the hundred and lets them go part by part. The C library hands such memory back to the
system each time, and fetching it again page by page costs more than many a formula: of a check with a roving load a quarter of the time.

A check makes some ten thousand objects and leaves no rings behind (tests/service/test_memory.py counts), yet Python stops it every few hundred
objects to look for some, now and then among all that rule packs and modules are made of: a tenth of a check.
"""

from __future__ import annotations

import ctypes
import gc

_TRIM_THRESHOLD, _MMAP_THRESHOLD = -1, -3
"""What mallopt(3) of the GNU C library calls them."""
KEPT = 128 << 20
"""Bytes that are not in use and are kept all the same."""
LARGEST = 16 << 20
"""Bytes of one array up to which it is taken from what is kept."""


SELDOM = 20_000
"""Objects made and not let go before rings are looked for among them."""


def keep_memory() -> bool:
    """Ask the C library to keep what is let go; False where it is not GNU's, which does as it always did."""
    ask = getattr(ctypes.CDLL(None), "mallopt", None)
    return ask is not None and bool(ask(_TRIM_THRESHOLD, KEPT)) and bool(ask(_MMAP_THRESHOLD, LARGEST))


def look_for_rings_seldom() -> None:
    """To be called when the rule packs are read: what there is by now stays to the end and is never looked through again."""
    gc.freeze()
    gc.set_threshold(SELDOM)
