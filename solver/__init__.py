"""Mechanics: plane frames of straight members. No timber, no code of practice, no documents."""

from .analyse import analyse
from .faults import (
    BadGeometry,
    BadLoad,
    BadStiffness,
    BadSupport,
    BearingsCycle,
    Disconnected,
    IllConditioned,
    Mechanism,
    NoHorizontalRestraint,
    NonFinite,
    NoSupport,
    NothingHoldsDown,
    SolverFault,
    Unstable,
)
from .frame import Case, Frame, LengthChange, LineLoad, Load, NodeLoad, Piece, PointLoad, SettlementLoad, Support
from .graph import fully_triangulated, panels
from .response import Combined, Layout, Response, Table

__distribution__ = "birdsmouth"

__all__ = [
    "BadGeometry",
    "BadLoad",
    "BadStiffness",
    "BadSupport",
    "BearingsCycle",
    "Case",
    "Combined",
    "Disconnected",
    "Frame",
    "IllConditioned",
    "Layout",
    "LengthChange",
    "LineLoad",
    "Load",
    "Mechanism",
    "NoHorizontalRestraint",
    "NoSupport",
    "NodeLoad",
    "NonFinite",
    "NothingHoldsDown",
    "Piece",
    "PointLoad",
    "Response",
    "SettlementLoad",
    "SolverFault",
    "Support",
    "Table",
    "Unstable",
    "analyse",
    "fully_triangulated",
    "panels",
]
