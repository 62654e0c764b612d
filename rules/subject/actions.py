"""Load cases as the caller states them. Magnitudes are >= 0; a direction says where they act."""

from __future__ import annotations

from dataclasses import dataclass

NATURES = ("permanent", "imposed", "roof-imposed", "snow", "wind", "accidental", "seismic")
DURATIONS = ("permanent", "long", "medium", "short", "instantaneous")
DIRECTIONS = ("down", "up", "left", "right", "pressure", "suction")
ALONG = ("member", "plan", "height")
FACES = ("upper", "lower", "left", "right")


@dataclass(frozen=True, slots=True)
class LineLoad:
    """A line load on a piece: kN per metre, straight between its two ends. along: "member", "plan" or "height"."""

    member: str
    line_kn_per_m: float
    direction: str
    along: str
    line_end_kn_per_m: float | None = None
    face: str | None = None
    from_mm: float | None = None
    to_mm: float | None = None


@dataclass(frozen=True, slots=True)
class PointLoad:
    """A point force (kN, with a direction) or moment (kNm, counter-clockwise positive) on a piece at at_mm from its first node."""

    member: str
    at_mm: float | None
    point_kn: float | None = None
    moment_knm: float | None = None
    direction: str | None = None
    face: str | None = None
    anywhere: bool = False


@dataclass(frozen=True, slots=True)
class NodeLoad:
    """Signed force components on a node, kN and kNm, in the frame's axes."""

    node: str
    x_kn: float = 0.0
    y_kn: float = 0.0
    moment_knm: float = 0.0


Load = LineLoad | PointLoad | NodeLoad


@dataclass(frozen=True, slots=True)
class Action:
    """One load case. one_of: at most one action of a group acts at a time; never_with holds both ways; needs names actions
    that must be present with this one. none_because declines an expected action (declines: which) with a reason.
    least_share: of a permanent action, the share of it that is surely there, which is all that counts where it holds against uplift."""

    id: str
    nature: str
    category: str | None = None
    duration: str | None = None
    one_of: str | None = None
    never_with: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()
    free: bool = False
    loads: tuple[Load, ...] = ()
    declines: str | None = None
    none_because: str | None = None
    least_share: float = 1.0
