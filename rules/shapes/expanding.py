"""From a design with a shape to the same design with its frame written out, and back again for what is wrong with it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from rules.shapes import (
    attic,
    couple,
    fan,
    fink,
    howe,
    king_post,
    mono,
    open_web_joist,
    queen_post,
    raised_tie,
    scissor,
    solid_joist,
)
from rules.shapes.drawing import Drawing, Form, faults
from rules.subject.design import Design
from rules.subject.faults import Fault, pointer
from rules.subject.settled import Assumption
from rules.subject.shape import Shape

MODULES = (couple, king_post, queen_post, fink, fan, howe, mono, scissor, raised_tie, attic, solid_joist, open_web_joist)
SAME_PITCH_DEG = 0.5
FORMS: dict[str, Form] = {module.FORM.name: module.FORM for module in MODULES}
"""Every form by name."""


def expand(design: Design) -> Design:
    """The design with nodes, members and supports drawn from its shape; a design without a shape as it is.

    The shape has no faults (shape_faults). The expanded design keeps its shape, so that what was drawn can be told.
    """
    if design.shape is None:
        return design
    drawing = _drawn(design.shape)
    return replace(design, nodes=drawing.nodes, members=drawing.members, supports=drawing.supports)


def shape_faults(design: Design) -> Iterator[Fault]:
    """Everything wrong with the shape, and with giving it beside a frame, or neither."""
    written = [part for part in ("nodes", "members", "supports") if getattr(design, part)]
    if design.shape is None:
        return
    for part in written:
        hint = "Leave out one of the two: the shape, or nodes, members and supports."
        yield Fault(pointer(part), "contradiction", "A shape is given, so the frame is drawn from it.", f"{part} stated", None, hint)
    yield from faults(FORMS[design.shape.form], design.shape)
    yield from _against_the_rest(design, design.shape)


def _against_the_rest(design: Design, shape: Shape) -> Iterator[Fault]:
    """What the rest of the document says otherwise: what the component is, and how steep its roof is."""
    kinds = ("trussed-rafter", "cut-roof", "other") if FORMS[shape.form].is_roof else (shape.form, "other")
    if design.component_type not in kinds:
        detail = f"The form “{shape.form}” is no {design.component_type}."
        hint = "Correct the one or the other."
        yield Fault(pointer("component_type"), "contradiction", detail, design.component_type, list(kinds), hint)
    stated = design.roof.pitch_deg if design.roof else None
    if stated is not None and shape.pitch_deg is not None and abs(stated - shape.pitch_deg) > SAME_PITCH_DEG:
        detail = f"The roof has {stated:g}°, its shape {shape.pitch_deg:g}°."
        yield Fault(
            pointer("roof", "pitch_deg"), "contradiction", detail, stated, shape.pitch_deg, "Give one pitch, or leave this one out."
        )


def written_by_shape(design: Design) -> tuple[Assumption, ...]:
    """What the drawing took for the caller."""
    if design.shape is None:
        return ()
    return tuple(Assumption(where, value, because) for where, value, because in _drawn(design.shape).notes)


def _drawn(shape: Shape) -> Drawing:
    return FORMS[shape.form].draw(shape)


_IN_THE_FRAME = re.compile(r"/(nodes|members|supports)(?:/([0-9]+)(.*))?", re.DOTALL)


def told_of_the_shape(fault: Fault, design: Design) -> Fault:
    """The fault of a drawn frame as one of the shape it was drawn from; a fault elsewhere as it is."""
    found = _IN_THE_FRAME.fullmatch(fault.pointer)
    if design.shape is None or found is None:
        return fault
    if found[1] == "members" and found[2] is not None:
        role = design.members[int(found[2])].role
        return replace(fault, pointer=pointer("shape", "pieces", role) + (found[3] or ""))
    if found[1] == "supports" and (found[3] or "").endswith("/grade"):
        return replace(fault, pointer="/shape/plate_grade")
    return replace(fault, pointer="/shape")
