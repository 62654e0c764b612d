"""The design document as the rest of the package sees it: checked shapes, caller's units, nothing derived."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from rules.subject.actions import Action
from rules.subject.frame import Member, Node, Support
from rules.subject.holding import AsBuilt, Bracing, Hanger
from rules.subject.joints import Joint, PlateType, Splice
from rules.subject.loading import Loading
from rules.subject.material import Material
from rules.subject.shape import Shape
from rules.subject.site import Building, Floor, Roof, Site

COMPONENT_TYPES = ("trussed-rafter", "open-web-joist", "solid-joist", "cut-roof", "other")
ROOF_TYPES = ("trussed-rafter", "cut-roof")
FLOOR_TYPES = ("open-web-joist", "solid-joist")
CEILINGS = ("brittle", "flexible", "none")
LEVELS = ("error", "warning", "note")
WAIVED_KINDS = ("design", "member", "joint", "support", "brace")
SHARED_BY = ("battens", "boards", "panels", "purlins")


@dataclass(frozen=True, slots=True)
class Parameter:
    """A caller's override of a pack value, with the reason shown on every finding it touches."""

    name: str
    value: float | str
    reason: str


@dataclass(frozen=True, slots=True)
class Codes:
    """Which rules the caller asks for. packs None: chosen from site and date; as_of None: today, read at the edge."""

    packs: tuple[str, ...] | None = None
    as_of: datetime.date | None = None
    parameters: tuple[Parameter, ...] = ()
    levels: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Waiver:
    """A finding somebody accepts, by name, for a reason, until a day (inclusive)."""

    rule: str
    element_kind: str
    element_id: str
    part: str
    reason: str
    approved_by: str
    expires: datetime.date
    up_to_utilisation: float | None = None
    subject: str | None = None


@dataclass(frozen=True, slots=True)
class LoadSharing:
    """What spreads load to the neighbours alike. by: "battens", "boards", "panels", "purlins"; spans: how many gaps between
    neighbours each of its pieces runs over; staggered: whether its joints are."""

    by: str
    spans: int | None = None
    staggered: bool = False


@dataclass(frozen=True, slots=True)
class Declined:
    """A part of the document the caller leaves to somebody else, with the reason."""

    none_because: str


@dataclass(frozen=True, slots=True)
class Design:
    """One component. Order of every tuple is the order of the document, so an index is a JSON pointer's step.

    digest, subject_digest: "sha256:…" of the accepted document in canonical form, whole and without reference, title,
    codes, waivers and baseline. joints: None (not stated), Declined, or those at nodes that are stated. shape: what the frame is
    drawn from, None where it is given. loading: what it carries, from which the packs in force derive actions; None: nothing is
    derived.
    """

    reference: str
    component_type: str
    nodes: tuple[Node, ...]
    members: tuple[Member, ...]
    supports: tuple[Support, ...]
    title: str | None = None
    count: int | None = None
    spacing_mm: float | None = None
    load_width_mm: float | None = None
    overall_length_mm: float | None = None
    load_sharing: LoadSharing | None = None
    site: Site = Site()
    roof: Roof | None = None
    floor: Floor | None = None
    building: Building | None = None
    codes: Codes = Codes()
    actions: tuple[Action, ...] = ()
    self_weight: bool = True
    materials: tuple[Material, ...] = ()
    marking: str | None = None
    bracing: tuple[Bracing, ...] | Literal["none"] | Declined | None = None
    joints: tuple[Joint, ...] | Declined | None = None
    plate_types: tuple[PlateType, ...] = ()
    splices: tuple[Splice, ...] = ()
    hangers: tuple[Hanger, ...] = ()
    as_built: AsBuilt | None = None
    shape: Shape | None = None
    loading: Loading | None = None
    waivers: tuple[Waiver, ...] = ()
    baseline: tuple[str, ...] | None = None
    digest: str = ""
    subject_digest: str = ""
