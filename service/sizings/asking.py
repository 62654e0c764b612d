"""What a sizing asks for: a sound design and what may be chosen, or every fault there is, where the request says it."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from marshmallow import ValidationError

from rules.subject.design import Design
from rules.subject.faults import DesignRefused, Fault, pointer
from rules.subject.frame import Member, Rectangle
from service.limits import LIMITS
from service.problems import KINDS, Problem, Refusal, said
from service.reading import Json
from service.schemas import to_design
from service.schemas.complaints import faults_of
from service.schemas.sizing import SizingSchema
from service.sizings.choices import Group, Make, Range

Entry = Mapping[str, Any]
CUBIC_METRE = 1e9  # mm³


@dataclass(frozen=True, slots=True)
class Asked:
    """An accepted request. design: as sent; unpriced: pieces that no price is known of."""

    document: Entry
    design: Design
    stock: Sequence[Entry]
    choices: Range
    by_price: bool
    unpriced: tuple[str, ...]
    allow: tuple[str, ...]
    most_checks: int


def asked_of(document: Json) -> Asked:
    """The request, sound in itself. Raises Refusal (sizing-refused) with every fault of it and of its design."""
    asked = _checked(document)
    stock, by_price = asked["stock"], all(each.get("cost_per_m") is not None for each in asked["stock"])
    faults = [*_twice(asked, "stock", "id"), *_twice(asked, "vary", "name"), *_priced(stock), *_spaced(asked)]
    try:
        design = to_design(asked["design"])
    except DesignRefused as refused:
        faults += [replace(fault, pointer="/design" + fault.pointer) for fault in refused.faults]
        refuse_sizing(faults)
        raise
    faults += _misnamed(asked, design)
    refuse_sizing(faults)
    groups = tuple(_group(entry, asked, design, by_price) for entry in asked["vary"])
    choices = Range(
        groups, tuple(dict.fromkeys(map(float, asked.get("spacings_mm") or ()))) or (None,), _fixed(asked, design, groups, by_price)
    )
    refuse_sizing(_too_many(len(choices)))
    return Asked(
        asked["design"], design, stock, choices, by_price, _left(design, groups) if by_price else (),
        tuple(asked.get("allow") or ()), int(asked.get("most_checks") or LIMITS.sizing_usual_checks),
    )  # fmt: skip


def refuse_sizing(faults: Iterable[Fault]) -> None:
    """Raise Refusal when there is any fault."""
    found = tuple(faults)
    if found:
        raise Refusal(Problem(KINDS["sizing-refused"], said(found), faults=found))


def _checked(document: Any) -> Entry:
    try:
        SizingSchema().load(document)
    except ValidationError as error:
        refuse_sizing(faults_of(error.messages_dict, document))
    asked: Entry = document
    return asked


def _twice(asked: Entry, part: str, name: str) -> Iterator[Fault]:
    met: set[str] = set()
    for index, entry in enumerate(asked[part]):
        if entry[name] in met:
            yield Fault(pointer(part, index, name), "duplicate-id", "This stands there twice.", entry[name], hint="Name each once.")
        met.add(entry[name])


def _priced(stock: Sequence[Entry]) -> Iterator[Fault]:
    priced = [each.get("cost_per_m") is not None for each in stock]
    for index, known in enumerate(priced):
        if any(priced) and not known:
            hint = "Price all stock, or none: then the least timber is looked for."
            yield Fault(pointer("stock", index, "cost_per_m"), "required", "Other stock has a price and this has none.", hint=hint)


def _spaced(asked: Entry) -> Iterator[Fault]:
    """Distances may vary only where every load follows them."""
    if not asked.get("spacings_mm"):
        return
    design = asked["design"]
    loaded = [each for each in _objects(design.get("actions")) if each.get("loads")]
    if loaded or not design.get("loading"):
        hint = "Describe what it carries under loading, from which load cases follow the spacing, and leave loads out of actions."
        yield Fault("/spacings_mm", "contradiction", "The loads of this design do not follow its spacing.", hint=hint)
    if design.get("load_width_mm") is not None:
        hint = "Leave load_width_mm out, or do not vary the spacing."
        yield Fault("/spacings_mm", "contradiction", "load_width_mm says what loads it, whatever its spacing.", hint=hint)


def _objects(value: Any) -> list[Entry]:
    return [each for each in value if isinstance(each, dict)] if isinstance(value, list) else []


def _misnamed(asked: Entry, design: Design) -> Iterator[Fault]:
    held = {each["id"] for each in asked["stock"]}
    taken: set[str] = set()
    for index, entry in enumerate(asked["vary"]):
        for at, name in enumerate(entry.get("stock") or ()):
            if name not in held:
                yield _dangling(pointer("vary", index, "stock", at), "There is no stock of that name.", name, held)
        yield from _pieces_at_fault(index, entry, asked["design"], design)
        pieces = [member for member in design.members if _meant(entry, member)]
        yield from (_bare(index, entry, member) for member in pieces if not isinstance(member.section, Rectangle))
        both = [member.id for member in pieces if member.id in taken]
        if both:
            hint = "Let each piece vary in one group."
            yield Fault(pointer("vary", index), "contradiction", "Pieces of it vary in another group too.", both, hint=hint)
        taken |= {member.id for member in pieces}


def _pieces_at_fault(index: int, entry: Entry, document: Entry, design: Design) -> Iterator[Fault]:
    by_role, by_name = entry.get("role") is not None, entry.get("members") is not None
    if by_role == by_name:
        yield Fault(
            pointer("vary", index), "unclear-form", "Either role or members says which pieces these are.", hint="State one of them."
        )
    elif by_role:
        shape = document.get("shape")
        roles = set(shape["pieces"]) if shape else {member.role for member in design.members}
        if entry["role"] not in roles:
            yield _dangling(pointer("vary", index, "role"), "The design has no piece of this role.", entry["role"], roles)
    elif document.get("shape") is not None:
        hint = "Name the role, or write the design out by POST /v1/expansions first."
        yield Fault(pointer("vary", index, "members"), "contradiction", "A shape says by role what its pieces are made of.", hint=hint)
    else:
        ids = {member.id for member in design.members}
        for at, name in enumerate(entry["members"]):
            if name not in ids:
                yield _dangling(pointer("vary", index, "members", at), "The design has no such piece.", name, ids)


def _bare(index: int, entry: Entry, member: Member) -> Fault:
    detail = f"Piece {member.id!r} is given by its section's properties; stock is rectangular."
    return Fault(pointer("vary", index), "unsuitable-section", detail, entry["name"], hint="Vary pieces of timber only.")


def _dangling(at: str, detail: str, found: str, allowed: Collection[str]) -> Fault:
    return Fault(at, "dangling-id", detail, found, sorted(allowed)[:40], "Name one of those.")


def _too_many(count: int) -> Iterator[Fault]:
    if count > LIMITS.sizing_choices:
        hint = "Let fewer groups vary, or name under stock what each may be made of."
        yield Fault("/vary", "wrong-count", "There are more choices than are looked at.", count, f"at most {LIMITS.sizing_choices}", hint)


def _meant(entry: Entry, member: Member) -> bool:
    return member.role == entry.get("role") or member.id in (entry.get("members") or ())


def _group(entry: Entry, asked: Entry, design: Design, by_price: bool) -> Group:
    pieces = [member for member in design.members if _meant(entry, member)]
    wanted = entry.get("stock")
    stock = [each for each in asked["stock"] if wanted is None or each["id"] in wanted]
    makes = [
        Make(each, plies, sum(_length_mm(design, member) * (plies or member.plies) for member in pieces) * _per_mm(each, by_price))
        for each in stock
        for plies in (sorted(set(map(int, entry["plies"]))) if entry.get("plies") else (None,))
    ]
    return Group(entry["name"], entry.get("role"), tuple(member.id for member in pieces), tuple(sorted(makes, key=lambda make: make.cost)))


def _per_mm(stock: Entry, by_price: bool) -> float:
    """Money, or cubic metres, for a millimetre."""
    return float(stock["cost_per_m"]) / 1000.0 if by_price else float(stock["b_mm"]) * float(stock["h_mm"]) / CUBIC_METRE


def _length_mm(design: Design, member: Member) -> float:
    places = {node.id: (node.x_mm, node.y_mm) for node in design.nodes}
    return math.dist(places[member.nodes[0]], places[member.nodes[-1]])


def _fixed(asked: Entry, design: Design, groups: Sequence[Group], by_price: bool) -> float:
    """What a component costs besides: what the caller says, or without prices the timber of its other pieces."""
    if by_price:
        return float(asked.get("component_cost") or 0.0)
    others = [member for member in design.members if member.id in _left(design, groups)]
    return sum(
        member.plies * _length_mm(design, member) * member.section.b_mm * member.section.h_mm / CUBIC_METRE
        for member in others
        if isinstance(member.section, Rectangle)
    )


def _left(design: Design, groups: Sequence[Group]) -> tuple[str, ...]:
    taken = {name for group in groups for name in group.members}
    return tuple(member.id for member in design.members if member.id not in taken)
