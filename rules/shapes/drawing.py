"""The drawing board: nodes, pieces and bearings of a shape, put down one after another."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field

from rules.subject.faults import Fault, pointer
from rules.subject.frame import Member, Node, Rectangle, Seat, Support
from rules.subject.shape import DIMENSIONS, Shape

DIGITS = 3
"""Decimal places of a millimetre that are kept, so that a drawing can be written out and read again unchanged."""


@dataclass(frozen=True, slots=True)
class Drawing:
    """A frame drawn from a shape. notes: what was taken for the caller, as pointer, value and why."""

    nodes: tuple[Node, ...]
    members: tuple[Member, ...]
    supports: tuple[Support, ...]
    notes: tuple[tuple[str, object, str], ...]


@dataclass(slots=True)
class Board:
    """Where one shape is being drawn. Coordinates in mm, x to the right, y up."""

    shape: Shape
    nodes: list[Node] = field(default_factory=list)
    members: list[Member] = field(default_factory=list)
    supports: list[Support] = field(default_factory=list)
    notes: list[tuple[str, object, str]] = field(default_factory=list)

    def node(self, name: str, x: float, y: float) -> str:
        """Put a node down."""
        self.nodes.append(Node(name, round(x, DIGITS) + 0.0, round(y, DIGITS) + 0.0))
        return name

    def piece(self, name: str, role: str, *nodes: str) -> None:
        """Lay a piece through these nodes, made as its role says, pinned at both ends."""
        make = self.shape.pieces[role]
        self.members.append(
            Member(name, role, nodes, make.section, make.grade, make.plies, restraints=make.restraints, treatment=make.treatment)
        )

    def bearing(self, name: str, node: str, member: str, *, sideways: bool, seat: Seat) -> None:
        """Let a piece bear on a support at this node; `sideways`: it holds the frame sideways too."""
        placed = Seat(seat.on, seat.length_mm, seat.width_mm, _rounded(seat.offset_mm), seat.grade, member=member)
        self.supports.append(Support(name, node, ("x", "y") if sideways else ("y",), seat=placed))

    def note(self, where: str, value: object, because: str) -> None:
        """Say what is taken for the caller."""
        self.notes.append((where, value, because))

    def done(self) -> Drawing:
        """The drawing, with what every drawing takes for the caller."""
        form = self.shape.form
        self.note("/nodes", {node.id: [node.x_mm, node.y_mm] for node in self.nodes}, f"Drawn as a {form} from its dimensions, mm.")
        self.note("/members", [member.id for member in self.members], f"The pieces of a {form}, pinned at their ends.")
        held = {support.id: list(support.holds) for support in self.supports}
        self.note("/supports", held, "One bearing holds the frame sideways, the other lets it move.")
        return Drawing(tuple(self.nodes), tuple(self.members), tuple(self.supports), tuple(self.notes))


@dataclass(frozen=True, slots=True)
class Form:
    """One trade shape. needs, may: the dimensions it must and may be given; roles: the pieces it is made of; what: in words.

    draw: from a shape without faults to its drawing; wrong: what else is wrong with the dimensions together, each as the
    dimension, the sentence and what is allowed.
    """

    name: str
    what: str
    needs: tuple[str, ...]
    roles: tuple[str, ...]
    draw: Callable[[Shape], Drawing]
    may: tuple[str, ...] = ()
    wrong: Callable[[Shape], Iterator[tuple[str, str, object]]] = lambda _shape: iter(())
    solid: tuple[str, ...] = ()

    @property
    def is_roof(self) -> bool:
        """Whether it has a pitch."""
        return "pitch_deg" in self.needs


def depth(shape: Shape, role: str) -> float:
    """Depth in the plane of the frame of the pieces of a role, mm."""
    section = shape.pieces[role].section
    assert isinstance(section, Rectangle), "the form's own check has seen to it"
    return section.h_mm


def number(value: float | None) -> float:
    """A dimension the form's own check has found to be stated."""
    assert value is not None
    return value


def faults(form: Form, shape: Shape) -> Iterator[Fault]:
    """Everything wrong with a shape of this form: what is missing, what it does not have, what does not go together."""
    missing = [name for name in form.needs if getattr(shape, name) is None]
    for name in missing:
        hint = f"Give it. “{form.name}” is {form.what}."
        yield Fault(pointer("shape", name), "required", f"The form “{form.name}” needs its {name}.", None, None, hint)
    yield from _strange(form, shape)
    bare = list(_pieces(form, shape.pieces))
    yield from bare
    if not missing and not bare:
        for name, detail, allowed in form.wrong(shape):
            yield Fault(pointer("shape", name), "out-of-range", detail, getattr(shape, name), allowed, "Check the dimensions together.")


def _strange(form: Form, shape: Shape) -> Iterator[Fault]:
    for name in DIMENSIONS:
        if getattr(shape, name) is not None and name not in (*form.needs, *form.may):
            allowed = [*form.needs, *form.may]
            yield Fault(
                pointer("shape", name),
                "contradiction",
                f"The form “{form.name}” has no {name}.",
                getattr(shape, name),
                allowed,
                "Leave it out.",
            )
    for role in shape.pieces:
        if role not in form.roles:
            detail = f"The form “{form.name}” has no {role}."
            yield Fault(pointer("shape", "pieces", role), "contradiction", detail, role, list(form.roles), "Leave it out.")


def _pieces(form: Form, pieces: Mapping[str, object]) -> Iterator[Fault]:
    for role in form.roles:
        where = pointer("shape", "pieces", role)
        if role not in pieces:
            yield Fault(
                where, "required", f"Nothing says what the {role} is made of.", None, list(form.roles), "Give its section and grade."
            )
        elif role in form.solid and not isinstance(getattr(pieces[role], "section", None), Rectangle):
            detail = f"The {role} of a {form.name} is drawn by its depth."
            yield Fault(where, "unsuitable-section", detail, None, "a rectangle", "Give b_mm and h_mm.")


def _rounded(pair: tuple[float, float]) -> tuple[float, float]:
    return round(pair[0], DIGITS) + 0.0, round(pair[1], DIGITS) + 0.0
