"""The frame as a report carries it, so that a drawing can be made from the report alone."""

from __future__ import annotations

from service.schemas.answers.fields import AnswerSchema, many, number, text, texts, whole


class DrawnNodeSchema(AnswerSchema):
    """A point of the frame."""

    id = text("Id.", "A")
    x_mm = number("Distance to the right of the origin.", "mm")
    y_mm = number("Height above the origin.", "mm")


class DrawnMemberSchema(AnswerSchema):
    """A piece of the frame."""

    id = text("Id.", "TC1")
    role = text("What it does in the frame.", "rafter")
    nodes = texts("Ids of the nodes on its axis, in order.")
    depth_mm = number("Depth in the plane of the frame; null where the section does not say.", "mm", nullable=True)
    plies = whole("How many lie side by side.")


class DrawnSupportSchema(AnswerSchema):
    """Where the frame is held."""

    id = text("Id.", "S1")
    node = text("Id of the node.", "A")
    holds = texts("Directions it holds: x, y, rotation.")


class DrawnFrameSchema(AnswerSchema):
    """The frame that was judged, as far as a drawing, and whoever sets it up, needs it."""

    component_type = text("What it is.", "trussed-rafter", required=False)
    count = whole("How many alike; null where nobody says.", nullable=True, required=False)
    spacing_mm = number("From one to the next; null where nobody says.", "mm", nullable=True, required=False)
    nodes = many(DrawnNodeSchema, "Nodes, in the order given.")
    members = many(DrawnMemberSchema, "Pieces, in the order given.")
    supports = many(DrawnSupportSchema, "Supports, in the order given.")
