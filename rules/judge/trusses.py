"""Givens of trusses: which pieces are loaded at their nodes only, and how long the whole is."""

from __future__ import annotations

import numpy as np

from rules.judge.framed import Frame
from rules.judge.properties import named
from rules.library.given import Given
from rules.subject.actions import NodeLoad
from rules.subject.design import Design

TRUSSES = ("trussed-rafter",)


def node_load_givens(frame: Frame) -> dict[str, Given]:
    """Of every station: whether its piece belongs to a truss and nothing but its own weight acts on it between its nodes."""
    design, layout = frame.settled.design, frame.response.layout
    loaded = {load.member for action in design.actions for load in action.loads if not isinstance(load, NodeLoad)}
    truss = design.component_type in TRUSSES
    at_nodes = np.array([truss and member.id not in loaded for member in design.members], dtype=np.bool_)
    return named(
        Given("is_loaded_at_nodes", "at nodes", "", "a piece of a truss without loads between its nodes", at_nodes[layout.piece]),
        Given("is_triangulated_truss", "triangles", "", "a truss made of triangles only", np.array(truss and frame.settled.triangulated)),
    )


def is_node_loaded(design: Design) -> bool:
    """Whether it is a truss on which, its own weight apart, everything acts at the nodes."""
    loads = [load for action in design.actions for load in action.loads]
    return design.component_type in TRUSSES and all(isinstance(load, NodeLoad) for load in loads)


def truss_givens(frame: Frame) -> dict[str, Given]:
    """Of the whole design: whether it is a truss, and its length in m."""
    design = frame.settled.design
    return named(
        Given("is_truss", "truss", "", "a truss with punched metal plates", np.array(design.component_type in TRUSSES)),
        Given("truss_length", "L", "m", "overall length of the truss", float(np.ptp(frame.geometry.xy[:, 0])) / 1000.0),
    )
