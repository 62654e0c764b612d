"""Memory let go is not fetched from the system again, where the C library can be asked to keep it; elsewhere nothing changes.
Rings of garbage are seldom looked for, which nobody has to pay for as long as a check leaves none."""

import datetime
import gc
import subprocess
import sys
from typing import Any

import msgspec

from rules.library.loading import load_library
from service.pipeline import check_document

FAULTS = """
import resource, sys
from service.memory import keep_memory
kept = sys.argv[1] == "kept" and keep_memory()
def faults(): return resource.getrusage(resource.RUSAGE_SELF).ru_minflt
def work(): return len([b"x" * (1 << 18) for _ in range(100)])
work(), work()
before = faults()
work(), work(), work()
print(int(kept), faults() - before)
"""


def measured(how: str) -> tuple[bool, int]:
    """Whether the C library was asked with success, and pages fetched anew by three rounds of work."""
    kept, pages = subprocess.run([sys.executable, "-c", FAULTS, how], capture_output=True, text=True, check=True).stdout.split()
    return kept == "1", int(pages)


def test_what_was_let_go_is_used_again():
    (kept, pages), (asked, before) = measured("kept"), measured("as it was")
    assert not asked
    assert pages * 20 < before if kept else pages <= 2 * before


SEARCHES = """
import gc
from service.memory import SELDOM, look_for_rings_seldom
kept = [[] for _ in range(1000)]
look_for_rings_seldom()
print(gc.get_freeze_count() >= 1000, gc.get_threshold()[0] == SELDOM, gc.isenabled())
"""


def test_what_is_there_from_the_start_is_not_looked_through_again():
    told = subprocess.run([sys.executable, "-c", SEARCHES], capture_output=True, text=True, check=True).stdout.split()
    assert told == ["True", "True", "True"]


def test_a_check_leaves_no_rings(roof: dict[str, Any], today: datetime.date):
    """Others in this process may leave some meanwhile; a check that did would do so each time."""
    body, library = msgspec.json.encode(roof), load_library()
    left = []
    gc.disable()
    try:
        for _ in range(4):
            check_document(body, library, today=today)
            left.append(gc.collect())
    finally:
        gc.enable()
    assert min(left[1:]) == 0
