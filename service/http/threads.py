"""Whether BLAS really runs one thread: with more, workers fight for cores and throughput falls many times over."""

from __future__ import annotations

from threadpoolctl import threadpool_info

from rules.subject.faults import BirdsmouthError


class TooManyThreads(BirdsmouthError):
    """A numerical library runs several threads: numpy was loaded before the service package."""


def assert_one_thread() -> None:
    """Raise TooManyThreads unless every numerical library that is loaded runs one thread."""
    several = [f"{pool['internal_api']}: {pool['num_threads']}" for pool in threadpool_info() if pool["num_threads"] != 1]
    if several:
        raise TooManyThreads(f"numerical libraries run several threads ({', '.join(several)}): import service before numpy")
