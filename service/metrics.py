"""Figures for operators, in the form Prometheus reads. Their labels are closed lists: nothing a caller writes becomes one.

Each process counts in files of its own below PROMETHEUS_MULTIPROC_DIR, where that is set; whoever is asked adds up all of them. When
a process has ended its files are added to one that stays, or each recycled worker would leave some for ever. The library decides when it is imported where it counts, so that is done late here: by
then the server has said where.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from prometheus_client import CollectorRegistry, Counter, Histogram

FOLDER = "PROMETHEUS_MULTIPROC_DIR"
MEDIA_TYPE = "text/plain; version=1.0.0; charset=utf-8"
_SECONDS = (0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0)
_GONE = "gone"


@dataclass(frozen=True, slots=True)
class Metrics:
    """What is counted of one application."""

    registry: CollectorRegistry
    answers: Counter
    seconds: Histogram
    problems: Counter
    bytes_out: Counter

    def answered(self, method: str, route: str, status: int, seconds: float, size: int) -> None:
        """Count one answer. method, route: of closed lists."""
        self.answers.labels(method, route, str(status)).inc()
        self.seconds.labels(route).observe(seconds)
        self.bytes_out.labels(route).inc(size)

    def refused(self, code: str) -> None:
        """Count one problem, by its code."""
        self.problems.labels(code).inc()

    def page(self) -> bytes:
        """All figures of all processes."""
        from prometheus_client import CollectorRegistry, generate_latest
        from prometheus_client.multiprocess import MultiProcessCollector

        registry = self.registry
        if os.path.isdir(os.environ.get(FOLDER, "")):
            registry = CollectorRegistry()
            MultiProcessCollector(registry)
        return generate_latest(registry)


def new_metrics() -> Metrics:
    """Figures that stand at nothing, in a registry of their own."""
    from prometheus_client import CollectorRegistry, Counter, Histogram

    registry = CollectorRegistry()
    return Metrics(
        registry,
        Counter("birdsmouth_answers", "Answers.", ("method", "route", "status"), registry=registry),
        Histogram("birdsmouth_answer_seconds", "From the head of a request to the end of its answer.", ("route",), buckets=_SECONDS, registry=registry),
        Counter("birdsmouth_problems", "Answers that are problems, by their code.", ("code",), registry=registry),
        Counter("birdsmouth_answer_bytes", "Bytes of answers.", ("route",), registry=registry),
    )  # fmt: skip


def fold(pid: int) -> None:
    """Add the files of a process that has ended to those that stay. For the one process that outlives the others."""
    from prometheus_client.mmap_dict import MmapedDict

    for file in Path(os.environ[FOLDER]).glob(f"*_{pid}.db"):
        kept = MmapedDict(str(file.with_name(f"{file.name.removesuffix(f'_{pid}.db')}_{_GONE}.db")))
        counted = list(MmapedDict.read_all_values_from_file(str(file)))
        file.unlink()
        for key, value, stamp, _ in counted:
            before, _ = kept.read_value(key)
            kept.write_value(key, before + value, stamp)
        kept.close()
