"""Memory let go is not fetched from the system again, where the C library can be asked to keep it; elsewhere nothing changes."""

import subprocess
import sys

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
