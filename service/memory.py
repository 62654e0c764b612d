"""Memory that a check worked in stays with the process for the next one.

A check fills arrays of a quarter of a megabyte by the hundred and lets them go part by part. The C library hands such memory back to the
system each time, and fetching it again page by page costs more than many a formula: of a check with a roving load a quarter of the time.
"""

from __future__ import annotations

import ctypes

_TRIM_THRESHOLD, _MMAP_THRESHOLD = -1, -3
"""What mallopt(3) of the GNU C library calls them."""
KEPT = 128 << 20
"""Bytes that are not in use and are kept all the same."""
LARGEST = 16 << 20
"""Bytes of one array up to which it is taken from what is kept."""


def keep_memory() -> bool:
    """Ask the C library to keep what is let go; False where it is not GNU's, which does as it always did."""
    ask = getattr(ctypes.CDLL(None), "mallopt", None)
    return ask is not None and bool(ask(_TRIM_THRESHOLD, KEPT)) and bool(ask(_MMAP_THRESHOLD, LARGEST))
