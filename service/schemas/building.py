"""Accepted values to the frozen dataclasses the rules work on. Nothing is decided here: absent becomes the dataclass's own default."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Literal, TypeVar

from rules.subject.actions import Action, LineLoad, Load, NodeLoad, PointLoad
from rules.subject.design import Codes, Declined, Design, LoadSharing, Parameter, Waiver
from rules.subject.fastening import Fasteners
from rules.subject.frame import (
    Cut,
    DeclaredCapacity,
    End,
    Member,
    Node,
    Prism,
    Rectangle,
    Restraints,
    Seat,
    Settlement,
    Springs,
    Support,
    Treatment,
)
from rules.subject.holding import Anchor, AsBuilt, Bracing, Hanger, HangerGap, Nails, Strap, Strength
from rules.subject.joints import Gaps, Joint, Plates, PlateType, PlyNailing, Splice
from rules.subject.material import Material
from rules.subject.shape import Make, Shape
from rules.subject.site import Building, Deck, Floor, Site
from service.schemas.building_loading import build_loading, build_roof
from service.schemas.canonical import digests
from service.schemas.context import PROPERTIES

Values = Mapping[str, Any]
Built = TypeVar("Built")


def build(document: Values) -> Design:
    """The design an accepted document describes, with the digests of the document."""
    materials = document.get("materials", {})
    whole, subject = digests(document)
    return Design(
        **_take(
            document, "reference", "component_type", "title", "count", "spacing_mm", "load_width_mm", "overall_length_mm", "self_weight"
        ),
        nodes=tuple(Node(**node) for node in document.get("nodes", ())),
        members=tuple(map(_member, document.get("members", ()))),
        supports=tuple(map(_support, document.get("supports", ()))),
        shape=_optional(document.get("shape"), _shape),
        loading=_optional(document.get("loading"), build_loading),
        load_sharing=_optional(document.get("load_sharing"), lambda sharing: LoadSharing(**sharing)),
        site=Site(**document.get("site", {})),
        roof=_optional(document.get("roof"), build_roof),
        floor=_optional(document.get("floor"), _floor),
        building=_optional(document.get("building"), lambda building: Building(**building)),
        codes=_codes(document.get("codes", {})),
        actions=tuple(map(_action, document.get("actions", ()))),
        materials=tuple(map(_material, materials.get("grades", ()))),
        marking=materials.get("marking"),
        bracing=_bracing(document.get("bracing")),
        joints=_joints(document.get("joints")),
        plate_types=tuple(PlateType(**each) for each in document.get("plate_types", ())),
        splices=tuple(map(_splice, document.get("splices", ()))),
        hangers=tuple(map(_hanger, document.get("hangers", ()))),
        as_built=_optional(document.get("as_built"), _as_built),
        waivers=tuple(map(_waiver, document.get("waivers", ()))),
        baseline=tuple(document["baseline"]) if "baseline" in document else None,
        digest=whole,
        subject_digest=subject,
    )


def _take(values: Values, *names: str) -> dict[str, Any]:
    return {name: values[name] for name in names if name in values}


def _without(values: Values, *names: str) -> dict[str, Any]:
    return {name: value for name, value in values.items() if name not in names}


def _optional(values: Any, make: Callable[[Any], Built]) -> Built | None:
    return None if values is None else make(values)


def _pair(values: Values, name: str) -> tuple[float, float]:
    across, up = values.get(name, (0.0, 0.0))
    return (across, up)


def _section(values: Values) -> Rectangle | Prism:
    if "b_mm" in values:
        return Rectangle(**values)
    capacity = _optional(values.get("declared"), lambda declared: DeclaredCapacity(**declared))
    return Prism(**_without(values, "declared"), capacity=capacity)


def _end(value: Any) -> End:
    return value["knm_per_rad"] if isinstance(value, Mapping) else value  # type: ignore[no-any-return]  # the schema saw to it


def _treatment(value: Any) -> Treatment | Literal["none"] | None:
    if not isinstance(value, Mapping):
        return value  # type: ignore[no-any-return]  # the schema saw to it
    return Treatment(tuple(value["against"]), value.get("standard"), value.get("class"), value.get("reference"))


def _member(values: Values) -> Member:
    ends, offsets = values.get("ends", {}), values.get("offset_mm", {})
    return Member(
        **_take(values, "id", "role", "grade", "plies"),
        nodes=tuple(values["nodes"]),
        section=_section(values["section"]),
        start=_end(ends.get("start", "pinned")),
        end=_end(ends.get("end", "pinned")),
        start_offset_mm=_pair(offsets, "start"),
        end_offset_mm=_pair(offsets, "end"),
        restraints=Restraints(**values.get("restraint_spacing", {})),
        treatment=_treatment(values.get("treatment")),
        holes=tuple(Cut(**cut) for cut in values.get("holes", ())),
        notches=tuple(Cut(**cut) for cut in values.get("notches", ())),
        ply_nailing=_optional(values.get("ply_nailing"), lambda nails: PlyNailing(**nails)),
    )


def _shape(values: Values) -> Shape:
    pieces = {role: _make(make) for role, make in values.get("pieces", {}).items()}
    return Shape(**_without(values, "pieces"), pieces=pieces)


def _make(values: Values) -> Make:
    return Make(
        **_take(values, "grade", "plies"),
        section=_section(values["section"]),
        restraints=Restraints(**values.get("restraint_spacing", {})),
        treatment=_treatment(values.get("treatment")),
    )


def _seat(values: Values) -> Seat:
    section = _optional(values.get("section"), lambda rectangle: Rectangle(**rectangle))
    return Seat(**_without(values, "offset_mm", "section"), offset_mm=_pair(values, "offset_mm"), section=section)


def _support(values: Values) -> Support:
    return Support(
        **_take(values, "id", "node", "inclined_deg", "uplift", "thrust_by"),
        holds=tuple(values["holds"]),
        springs=Springs(**values.get("springs", {})),
        settlement=Settlement(*_pair(values, "settlement_mm")),
        seat=_optional(values.get("seat"), _seat),
        held_down_by=_optional(values.get("held_down_by"), _strap),
    )


def _load(values: Values) -> Load:
    if "node" in values:
        return NodeLoad(**values)
    return LineLoad(**values) if "line_kn_per_m" in values else PointLoad(**{"at_mm": None, **values})


def _action(values: Values) -> Action:
    return Action(
        **_without(values, "loads", "never_with", "needs"),
        never_with=tuple(values.get("never_with", ())),
        needs=tuple(values.get("needs", ())),
        loads=tuple(map(_load, values.get("loads", ()))),
    )


def _floor(values: Values) -> Floor:
    stated = None if values.get("deck") == "none" else values.get("deck")  # what lies on nothing shares and holds nothing
    deck = Deck(what=stated) if isinstance(stated, str) else _optional(stated, lambda given: Deck(**given))
    return Floor(**_without(values, "deck"), deck=deck)


def _codes(values: Values) -> Codes:
    parameters = tuple(Parameter(name, **given) for name, given in values.get("parameters", {}).items())
    packs = _optional(values.get("packs"), tuple)
    return Codes(packs=packs, as_of=values.get("as_of"), parameters=parameters, levels=dict(values.get("levels", {})))


def _material(values: Values) -> Material:
    plain = _take(values, "id", "kind", "tradition", "family", "softwood", "invented")
    return Material(**plain, properties={**_take(values, *PROPERTIES), **values.get("reference_values", {})})


def _bracing(value: Any) -> tuple[Bracing, ...] | Literal["none"] | Declined | None:
    if isinstance(value, Mapping):
        return Declined(**value)
    return tuple(map(_brace, value)) if isinstance(value, list) else value


def _strength(values: Any) -> Strength | None:
    return _optional(values, lambda given: Strength(**given))


def _strap(values: Values) -> Strap:
    return Strap(
        **_without(values, "capacity", "fasteners", "rest_capacity"),
        capacity=_strength(values.get("capacity")),
        fasteners=_fasteners(values.get("fasteners")),
        rest_capacity=_strength(values.get("rest_capacity")),
    )


def _fasteners(values: Any) -> Fasteners | None:
    return _optional(values, lambda given: Fasteners(**given))


def _hanger(values: Values) -> Hanger:
    return Hanger(
        **_without(values, "down", "up", "fasteners", "rest_down", "rest_up"),
        down=_strength(values.get("down")),
        up=_strength(values.get("up")),
        fasteners=_fasteners(values.get("fasteners")),
        rest_down=_strength(values.get("rest_down")),
        rest_up=_strength(values.get("rest_up")),
    )


def _brace(values: Values) -> Bracing:
    return Bracing(
        **_without(values, "members", "section", "nails", "fixing_capacity", "fasteners", "anchor_capacity", "anchor"),
        members=tuple(values.get("members", ())),
        section=_optional(values.get("section"), lambda given: (given["b_mm"], given["h_mm"])),
        nails=_optional(values.get("nails"), lambda given: Nails(**given)),
        fixing_capacity=_strength(values.get("fixing_capacity")),
        fasteners=_fasteners(values.get("fasteners")),
        anchor_capacity=_strength(values.get("anchor_capacity")),
        anchor=_optional(values.get("anchor"), _anchor),
    )


def _anchor(values: Values) -> Anchor:
    return Anchor(
        Fasteners(**values["fasteners"]),
        section=_optional(values.get("section"), lambda given: (given["b_mm"], given["h_mm"])),
        **_take(values, "grade", "grain"),
        rest_capacity=_strength(values.get("rest_capacity")),
    )


PLATES = ("plate_type", "length_mm", "width_mm", "angle_deg", "placing_tolerance_mm", "turning_tolerance_deg")


def _joints(value: Any) -> tuple[Joint, ...] | Declined | None:
    if isinstance(value, Mapping):
        return Declined(**value)
    return None if value is None else tuple(map(_joint, value))


def _joint(values: Values) -> Joint:
    missing = tuple(name for name in PLATES[:4] if name not in values)
    return Joint(
        **_take(values, "id", "node", "none_because", "slip_kn_per_mm"),
        pieces=tuple(values.get("pieces", ())),
        cut_order=tuple(values.get("cut_order", ())),
        plates=None if missing else _plates(values),
        missing=missing if len(missing) < 4 else (),
    )


def _splice(values: Values) -> Splice:
    return Splice(**_take(values, "id", "member", "at_mm", "slip_kn_per_mm"), plates=_plates(values))


def _plates(values: Values) -> Plates:
    return Plates(
        **_take(values, *PLATES), offset_mm=_pair(values, "offset_mm"), gaps=_optional(values.get("gaps"), lambda gaps: Gaps(**gaps))
    )


def _as_built(values: Values) -> AsBuilt:
    return AsBuilt(**_without(values, "at_supports"), at_supports=tuple(HangerGap(**found) for found in values.get("at_supports", ())))


def _waiver(values: Values) -> Waiver:
    element = values["element"]
    part = values.get("part", "")
    return Waiver(**_without(values, "element", "part"), element_kind=element["kind"], element_id=element["id"], part=part)
