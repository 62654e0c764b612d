"""Accepted values to the frozen dataclasses the rules work on. Nothing is decided here: absent becomes the dataclass's own default."""

from __future__ import annotations

from rules.subject.actions import Action, LineLoad, Load, NodeLoad, PointLoad
from rules.subject.design import Codes, Design, LoadSharing, Parameter, Waiver
from rules.subject.frame import Node
from rules.subject.joints import PlateType
from rules.subject.material import Material
from rules.subject.site import Building, Deck, Floor, Site
from service.schemas.building_frame import build_member, build_shape, build_support
from service.schemas.building_holding import build_as_built, build_bracing, build_hanger
from service.schemas.building_joints import build_joints, build_splice
from service.schemas.building_loading import build_loading, build_roof
from service.schemas.canonical import digests
from service.schemas.context import PROPERTIES
from service.schemas.picking import Values, optional, take, without


def build(document: Values) -> Design:
    """The design an accepted document describes, with the digests of the document."""
    materials = document.get("materials", {})
    whole, subject = digests(document)
    return Design(
        **take(
            document, "reference", "component_type", "title", "count", "spacing_mm", "load_width_mm", "overall_length_mm", "self_weight"
        ),
        nodes=tuple(Node(**node) for node in document.get("nodes", ())),
        members=tuple(map(build_member, document.get("members", ()))),
        supports=tuple(map(build_support, document.get("supports", ()))),
        shape=optional(document.get("shape"), build_shape),
        loading=optional(document.get("loading"), build_loading),
        load_sharing=optional(document.get("load_sharing"), lambda sharing: LoadSharing(**sharing)),
        site=Site(**document.get("site", {})),
        roof=optional(document.get("roof"), build_roof),
        floor=optional(document.get("floor"), _floor),
        building=optional(document.get("building"), lambda building: Building(**building)),
        codes=_codes(document.get("codes", {})),
        actions=tuple(map(_action, document.get("actions", ()))),
        materials=tuple(map(_material, materials.get("grades", ()))),
        marking=materials.get("marking"),
        bracing=build_bracing(document.get("bracing")),
        joints=build_joints(document.get("joints")),
        plate_types=tuple(PlateType(**each) for each in document.get("plate_types", ())),
        splices=tuple(map(build_splice, document.get("splices", ()))),
        hangers=tuple(map(build_hanger, document.get("hangers", ()))),
        as_built=optional(document.get("as_built"), build_as_built),
        waivers=tuple(map(_waiver, document.get("waivers", ()))),
        baseline=tuple(document["baseline"]) if "baseline" in document else None,
        digest=whole,
        subject_digest=subject,
    )


def _load(values: Values) -> Load:
    if "node" in values:
        return NodeLoad(**values)
    return LineLoad(**values) if "line_kn_per_m" in values else PointLoad(**{"at_mm": None, **values})


def _action(values: Values) -> Action:
    return Action(
        **without(values, "loads", "never_with", "needs"),
        never_with=tuple(values.get("never_with", ())),
        needs=tuple(values.get("needs", ())),
        loads=tuple(map(_load, values.get("loads", ()))),
    )


def _floor(values: Values) -> Floor:
    stated = None if values.get("deck") == "none" else values.get("deck")  # what lies on nothing shares and holds nothing
    deck = Deck(what=stated) if isinstance(stated, str) else optional(stated, lambda given: Deck(**given))
    return Floor(**without(values, "deck"), deck=deck)


def _codes(values: Values) -> Codes:
    parameters = tuple(Parameter(name, **given) for name, given in values.get("parameters", {}).items())
    packs = optional(values.get("packs"), tuple)
    return Codes(packs=packs, as_of=values.get("as_of"), parameters=parameters, levels=dict(values.get("levels", {})))


def _material(values: Values) -> Material:
    plain = take(values, "id", "kind", "tradition", "family", "softwood", "invented")
    return Material(**plain, properties={**take(values, *PROPERTIES), **values.get("reference_values", {})})


def _waiver(values: Values) -> Waiver:
    element = values["element"]
    part = values.get("part", "")
    return Waiver(**without(values, "element", "part"), element_kind=element["kind"], element_id=element["id"], part=part)
