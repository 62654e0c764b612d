"""What can be wrong with a frame, as types that carry the place: one tree, caught as :class:`SolverFault`."""

from __future__ import annotations

from typing import Literal

Direction = Literal["x", "y", "rotation"]


class SolverFault(Exception):
    """Root of every fault the solver raises. Indices count from zero in the order of the caller's sequences."""


class BadGeometry(SolverFault):
    """A piece or a node cannot be drawn: no length, bent, doubling back, dangling or coincident.

    ``kind`` is ``"no-length"``, ``"bent"``, ``"doubles-back"``, ``"too-short"``, ``"unknown-node"`` or ``"coincident"``.
    ``piece`` is None for coincident nodes.
    """

    def __init__(self, kind: str, piece: int | None, nodes: tuple[int, ...]) -> None:
        self.kind, self.piece, self.nodes = kind, piece, nodes
        super().__init__(f"{kind}: piece {piece}, nodes {nodes}")


class BadStiffness(SolverFault):
    """A stiffness or mass of a piece or a spring of a support is negative, or zero where it must be positive."""

    def __init__(self, part: Literal["piece", "support"], index: int, field: str, value: float) -> None:
        self.part, self.index, self.field, self.value = part, index, field, value
        super().__init__(f"{part} {index}: {field} = {value}")


class BadSupport(SolverFault):
    """Two supports stand at one node, or a support names a node that is not there."""

    def __init__(self, support: int, node: int, because: str) -> None:
        self.support, self.node, self.because = support, node, because
        super().__init__(f"support {support} at node {node}: {because}")


class BadLoad(SolverFault):
    """A load names what is not there, lies beyond its piece, or turns a node that nothing rotates with."""

    def __init__(self, case: int, load: int, because: str) -> None:
        self.case, self.load, self.because = case, load, because
        super().__init__(f"case {case}, load {load}: {because}")


class NonFinite(SolverFault):
    """A number that came in, or one that came out, is not finite. ``where`` says which array."""

    def __init__(self, where: str) -> None:
        self.where = where
        super().__init__(f"not finite: {where}")


class NoSupport(SolverFault):
    """Nothing holds the frame."""


class NoHorizontalRestraint(SolverFault):
    """Every support rolls level: nothing holds the frame sideways."""


class Disconnected(SolverFault):
    """The frame falls into parts that share no node. ``parts`` are node indices, the largest part first."""

    def __init__(self, parts: tuple[tuple[int, ...], ...]) -> None:
        self.parts = parts
        super().__init__(f"{len(parts)} parts: {parts}")


class Mechanism(SolverFault):
    """The frame can move without straining. ``loose`` names node and direction, the freest first."""

    def __init__(self, loose: tuple[tuple[int, Direction], ...]) -> None:
        self.loose = loose
        super().__init__("loose: " + ", ".join(f"node {node} {direction}" for node, direction in loose))


class IllConditioned(SolverFault):
    """Stiffnesses differ by so much that too few digits of the answer would be left. ``condition`` is the estimate."""

    def __init__(self, condition: float) -> None:
        self.condition = condition
        super().__init__(f"condition about {condition:.1e}")


class NothingHoldsDown(SolverFault):
    """Every bearing can only push, or those that hold do not suffice: the frame may lift off. ``supports`` names them."""

    def __init__(self, supports: tuple[int, ...]) -> None:
        self.supports = supports
        super().__init__(f"supports {supports} can only push")


class BearingsCycle(SolverFault):
    """No set of lifted bearings was found that agrees with itself in this combination."""

    def __init__(self, combination: int) -> None:
        self.combination = combination
        super().__init__(f"combination {combination}")


class Unstable(SolverFault):
    """The frame has no second-order equilibrium under this combination: it has buckled, or did not settle."""

    def __init__(self, combination: int) -> None:
        self.combination = combination
        super().__init__(f"combination {combination}")
