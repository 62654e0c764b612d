"""Whether the piece that is said to bear on a support is there at all: a bearing may be drawn beyond the end of its piece."""

from __future__ import annotations

from collections.abc import Iterator

from rules.judge.bearings import place_along
from rules.judge.framed import Frame
from rules.judge.judgement import EngineRule, Judgement
from rules.library.rule import Kind
from rules.subject.faults import pointer

REACHES = EngineRule(
    "piece-on-its-bearing",
    "The piece that bears on a support reaches over it",
    "A bearing drawn the wrong way from its node carries a piece that is not there.",
)
NEAR_MM = 1.0
"""Off by less is drawing. Common practice, no published source."""
UPRIGHT = 0.5
"""Cosine of the slope below which a piece stands on its bearing more than it lies on it. Common practice, no published source."""


def on_its_bearing(frame: Frame) -> Iterator[Judgement]:
    """Every bearing that lies wholly beyond the end of its piece. A cut heel may reach some way past its node, so one partly under it is let be."""
    design = frame.settled.design
    for place, (support, index) in enumerate(zip(design.supports, frame.settled.seat_members, strict=True)):
        if support.seat is None or index is None or not support.seat.length_mm:
            continue
        line, half = frame.geometry.lines[index], support.seat.length_mm / 2.0
        at = place_along(frame, support, index)
        beyond = max(-at, at - line.length) - half
        if abs(line.cos) > UPRIGHT and beyond > NEAR_MM:
            piece = design.members[index].id
            message = f"Support {support.id}: its bearing begins {beyond:.0f} mm beyond the end of {piece}, which is said to bear on it."
            ask = "Which way from its node does the bearing lie, and which piece reaches over it? (supports.seat.offset_mm, supports.seat.member)"
            at_seat = pointer("supports", place, "seat", "offset_mm")
            yield Judgement(REACHES, "support", support.id, place, Kind.OPEN, asks=(ask,), message=message, pointer=at_seat)
