"""What servers that were killed leave in memory is swept away when the next one starts, and nothing else is."""

import os
import subprocess
import sys
from pathlib import Path

from service.serving import sweep


def gone() -> int:
    """The number of a process that is no more."""
    process = subprocess.Popen([sys.executable, "-c", ""])
    process.wait()
    return process.pid


def folder(place: Path, name: str, *files: str) -> Path:
    made = place / name
    made.mkdir()
    for file in files:
        (made / file).write_bytes(b"1")
    return made


def test_folders_of_processes_that_are_no_more_go(tmp_path: Path) -> None:
    dead = folder(tmp_path, f"birdsmouth-{gone()}", "counter_1.db", "histogram_1.db")
    huge = folder(tmp_path, f"birdsmouth-{10**30}", "counter_1.db")
    sweep(str(tmp_path))
    assert not dead.exists()
    assert not huge.exists()


def test_everything_else_stays(tmp_path: Path) -> None:
    dead = gone()
    elsewhere = folder(tmp_path, "elsewhere", "counter_1.db")
    kept = [
        folder(tmp_path, f"birdsmouth-{os.getpid()}", "counter_1.db"),
        folder(tmp_path, "birdsmouth-mill", "counter_1.db"),
        folder(tmp_path, f"other-{dead}", "counter_1.db"),
        folder(tmp_path, f"birdsmouth-{dead}", "letter.txt"),
    ]
    link = tmp_path / "birdsmouth-2147483646"
    link.symlink_to(elsewhere)
    (tmp_path / "birdsmouth-2147483645").write_bytes(b"a file")
    sweep(str(tmp_path))
    assert all(each.exists() for each in [*kept, link])
    assert all(list(each.iterdir()) for each in [*kept, elsewhere])
    assert (tmp_path / "birdsmouth-2147483645").exists()
