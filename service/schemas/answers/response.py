"""Shape of the analysis within a report, and of the analysis document."""

from __future__ import annotations

from service.schemas.answers.fields import AnswerSchema, anything, flag, many, number, one, table, text, texts, word


class ReactionSchema(AnswerSchema):
    """A characteristic reaction on the structure: x right, y up, moments counter-clockwise."""

    action = text("The load case.", "snow")
    support = text("The support.", "S1")
    x_kn = number("To the right.", "kN")
    y_kn = number("Upwards.", "kN")
    rotation_knm = number("Counter-clockwise.", "kNm")
    words = text("The same in words, as the wall feels it.", "1.89 kN down on the bearing")


class DisplacementSchema(AnswerSchema):
    """A characteristic displacement of a node."""

    action = text("The load case.", "snow")
    node = text("The node.", "C")
    x_mm = number("To the right.", "mm")
    y_mm = number("Upwards.", "mm")
    rotation_rad = number("Counter-clockwise.", "rad")


class GreatestMomentSchema(AnswerSchema):
    """The greatest moment of a member in one load case."""

    m_knm = number("Sagging positive, read from the first node with y up.", "kNm")
    at_mm = number("Distance along the member.", "mm")


class StationSchema(AnswerSchema):
    """Forces at one place of a member. Compression negative, sagging positive."""

    at_mm = number("Distance along the member from its first node.", "mm")
    n_kn = number("Axial force, tension positive.", "kN")
    v_kn = number("Shear force.", "kN")
    m_knm = number("Moment, sagging positive.", "kNm")
    deflection_mm = number("Movement square to the member.", "mm")


class MemberForcesSchema(AnswerSchema):
    """One member in one load case."""

    action = text("The load case.", "snow")
    member = text("The member.", "TC1")
    max_moment = one(GreatestMomentSchema, "Where the moment is greatest in size.")
    stations = many(StationSchema, "Forces along it.")


class ResponseSchema(AnswerSchema):
    """What the frame does under each load case."""

    balanced = flag("Whether loads and reactions balance within the tolerance.")
    tolerance = number("The tolerance, relative.", "1")
    reactions = many(ReactionSchema, "Characteristic reactions per load case.")
    envelopes = many(AnswerSchema, "Least and greatest forces of each member over the combinations.", required=False)
    displacements = many(DisplacementSchema, "Characteristic displacements per load case.", required=False)
    members = many(MemberForcesSchema, "Characteristic forces along each member per load case.", required=False)
    combinations = many(AnswerSchema, "Every combination with its factors and reactions.", required=False)


class AnalysisSchema(AnswerSchema):
    """Forces, reactions and deflections, without judgement."""

    format = word("Format of this document.", ("birdsmouth-analysis-1",))
    reference = text("The caller's name for the component.", "MILL-T04")
    response = one(ResponseSchema, "The analysis.")
    packs = many(AnswerSchema, "The packs loads and materials were taken from.")
    assumptions = many(AnswerSchema, "Every value taken for the caller.")
    cautions = texts("What to bear in mind.")
    buckling = anything("How far loads can grow before the frame buckles; null when nothing is compressed.", required=False)
    vibration = anything("The lowest natural frequencies; null where nothing has mass.", required=False)
    questions = anything("What the packs would have to be told to settle the loads.", required=False)
    receipt = table("What it was made from.", anything("A digest, a day or a version."))
