"""Mechanics: plane frames of straight members. No timber, no code of practice, no documents."""

from .analyse import analyse, analyse_all
from .displaced import Imperfection, second_order
from .envelope import Envelope, envelopes
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
from .influence import Stance, Worst, patches, stances, standing, worst_patches, worst_stance
from .layout import Layout
from .peaks import Curves, Extremes, curves, extremes
from .refine import divided
from .response import Response
from .stability import Buckling, buckles_above, buckling
from .table import Combined, Table
from .undivided import undivided
from .vibration import Vibration, natural_modes

__distribution__ = "birdsmouth"

__all__ = [
    "BadGeometry",
    "BadLoad",
    "BadStiffness",
    "BadSupport",
    "BearingsCycle",
    "Buckling",
    "Case",
    "Combined",
    "Curves",
    "Disconnected",
    "Envelope",
    "Extremes",
    "Frame",
    "IllConditioned",
    "Imperfection",
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
    "Stance",
    "Support",
    "Table",
    "Unstable",
    "Vibration",
    "Worst",
    "analyse",
    "analyse_all",
    "buckles_above",
    "buckling",
    "curves",
    "divided",
    "envelopes",
    "extremes",
    "fully_triangulated",
    "natural_modes",
    "panels",
    "patches",
    "second_order",
    "stances",
    "standing",
    "undivided",
    "worst_patches",
    "worst_stance",
]
