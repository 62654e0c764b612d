"""How much one request may ask for. Work is bounded by these counts, never by the clock; GET /version publishes them."""

from __future__ import annotations

from dataclasses import asdict, dataclass


@dataclass(frozen=True, slots=True)
class Limits:
    """The published bounds of one design document and its answer.

    body_bytes: size of the body; batch_lines, batch_bytes: designs in a batch, and its size; depth: brackets inside brackets; values: numbers, texts, lists and objects together; faults: how
    many one answer spells out before it only counts the rest, faults_counted: how many it counts; bays: stretches of all members between neighbouring nodes; sizing_choices: choices of a
    sizing, sizing_checks: how many of them are checked at most, sizing_usual_checks: when the request does not say; job_designs,
    job_bytes, job_values: designs in a job, its size, and values as above; request_line_bytes, header_lines, header_line_bytes: the head of a
    request, as service.serving bounds it; the others: items in the list of that name.
    """

    body_bytes: int = 2 * 1024 * 1024
    depth: int = 64
    values: int = 80_000
    nodes: int = (
        1_500  # so many, and so many bays, are worked on without any step above a quarter of a second: tests/solver/test_longest_step.py
    )
    members: int = 2_000
    bays: int = 4_500
    nodes_per_member: int = 200
    supports: int = 200
    actions: int = 100
    loads_per_action: int = 2_000
    bracing: int = 500
    grades: int = 100
    plate_types: int = 100
    splices: int = 200
    waivers: int = 1_000
    baseline: int = 20_000
    plies: int = 6
    trial_files: int = 100
    trial_characters: int = 250_000
    trial_designs: int = 10
    trial_mutants: int = 1_000
    comparison_sides: int = 6
    sizing_stock: int = 50
    sizing_groups: int = 6
    sizing_spacings: int = 6
    sizing_choices: int = 20_000
    sizing_checks: int = 400
    sizing_usual_checks: int = 20
    job_designs: int = 200
    job_bytes: int = 8 * 1024 * 1024
    job_values: int = 400_000
    batch_lines: int = 1_000
    batch_bytes: int = 32 * 1024 * 1024
    request_line_bytes: int = 4_094
    header_lines: int = 50
    header_line_bytes: int = 8_190
    faults: int = 100
    faults_counted: int = 10_000

    def published(self) -> dict[str, int]:
        """The limits as a JSON object, for GET /version."""
        return asdict(self)


LIMITS = Limits()
