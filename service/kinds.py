"""Every code an error can carry, with what it means: kinds of answers, and kinds of faults of a document."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of error answer. meaning: what happened; remedy: what the caller can do."""

    code: str
    status: int
    title: str
    meaning: str
    remedy: str


KINDS: Mapping[str, Kind] = {
    kind.code: kind
    for kind in (
        Kind("unreadable-body", 400, "The body cannot be read", "The body is not one JSON document in UTF-8, or means two things at once.",
             "Mend what each error points at. Programs that write JSON by a library do not get here."),
        Kind("bad-request", 400, "The request cannot be understood", "Something about the request itself is wrong.", "See the detail."),
        Kind("bad-query", 400, "The query cannot be understood", "The address names an option there is not, or gives one a value it cannot take.",
             "Use the options the reference lists."),
        Kind("wrong-digest", 400, "The content is not what was announced", "Content-Digest and the content do not go together; nothing was read from it.",
             "Send it again; if it stays, something on the way changes it, or the digest was taken of something else."),
        Kind("token-needed", 401, "A token is needed", "Whoever calls here has to send a token, and none that is known came.",
             "Send Authorization: Bearer and the token the operator gave you."),
        Kind("not-allowed", 403, "This is not open to you", "The service takes this only from the machine it runs on, or with a token.",
             "Call from that machine itself, or ask the operator for a token. The operator: see BIRDSMOUTH_TOKENS in DEVELOPERS.md."),
        Kind("not-found", 404, "There is nothing here", "No page, pack or rule goes by this address.", "See /v1/packs and the reference."),
        Kind("method-not-allowed", 405, "This address does not take that method", "The address exists, the method does not.",
             "Use one of the methods the Allow header lists."),
        Kind("not-acceptable", 406, "No such format", "The Accept header asks for formats this address cannot give.",
             "Ask for one of those listed as allowed."),
        Kind("too-slow-sending", 408, "The request took too long to come in", "A request has to be there within 20 seconds of its first byte.",
             "Try again over a better line; nothing was read."),
        Kind("body-too-large", 413, "The body is too large", "One request holds one component, within the published limits.",
             "See limits at /version. Send one component a request."),
        Kind("unsupported-media-type", 415, "The body is of another type", "A design comes as application/json, not compressed.",
             "Set Content-Type: application/json and no Content-Encoding."),
        Kind("design-refused", 422, "The design cannot be checked", "The document is JSON, but not a design that can be calculated.",
             "Mend what each error points at; they are all there."),
        Kind("comparison-refused", 422, "The comparison cannot be made", "The document is JSON, but a side of it is no design that can be checked.",
             "Mend what each error points at. A grade a side does not know is named under its grades; nothing is guessed."),
        Kind("sizing-refused", 422, "The sizing cannot be made", "The document is JSON, but not a sound design with stock to choose from.",
             "Mend what each error points at. A choice that cannot be built is no error: it is listed among those tried."),
        Kind("job-refused", 422, "The job cannot be taken", "The document is JSON, but not a list of designs with settings for all of them.",
             "Mend what each error points at. What is wrong with a single design is told beside it in a job's answer."),
        Kind("trial-refused", 422, "The trial cannot be made", "The document is JSON, but not a pack's files with designs to try them on.",
             "Mend what each error points at. What is wrong with the pack itself is answered with 200: it is what was asked for."),
        Kind("internal", 500, "The service failed", "Something went wrong that is not the caller's fault. Nothing was judged.",
             "Try again; if it stays, report the request id in instance."),
        Kind("no-number", 500, "The calculation gave no number", "A value of the report is not finite. Nothing of it is given, lest it pass.",
             "Look for extreme values in the design; report the request id in instance."),
        Kind("too-busy", 503, "The service is busy", "As many checks wait as may wait.", "Try again after the time in Retry-After."),
        Kind("too-slow", 503, "The check took too long", "The deadline of one request passed. Nothing was judged.",
             "Try again; send fewer load cases or a smaller frame if it stays."),
        Kind("not-ready", 503, "The service is not ready", "A rule pack that has to be there cannot be used.", "See the detail; mend the pack."),
    )
}  # fmt: skip
"""Every kind of error answer, by code."""

FAULTS: Mapping[str, str] = {
    "bad-geometry": "A piece cannot be drawn.",
    "bad-load": "A load cannot be applied.",
    "bad-stiffness": "A stiffness cannot be used.",
    "bad-support": "A support cannot stand where it is.",
    "bent-piece": "A node is more than 1 mm off the straight line of its piece.",
    "beyond-piece": "A place lies beyond the end of its piece.",
    "beyond-section": "A cut takes as much as the piece is deep, or more.",
    "byte-order-mark": "The body begins with a byte-order mark.",
    "coincident-nodes": "Two nodes are less than 1 mm apart.",
    "contested-value": "Two packs replace one value differently.",
    "contradiction": "Two statements exclude each other.",
    "dangling-id": "A reference names something the document does not hold.",
    "direction-along": "A load per metre of plan acts only down or up, one per metre of height only left or right.",
    "direction-of-moment": "A moment has no direction.",
    "disconnected": "A part of the frame touches nothing else.",
    "duplicate-id": "An id is given twice.",
    "duplicate-pack": "A pack is asked for twice.",
    "duplicate-waiver": "Two waivers are for the same finding.",
    "empty-body": "There is no document.",
    "half-character": "A text holds half of a surrogate pair.",
    "held-twice": "Two supports hold one node.",
    "holds-nothing": "A support holds no direction.",
    "ill-conditioned": "Too few digits of the answer would be left.",
    "joined-twice": "Two joints are at one node.",
    "mechanism": "Part of the frame can move without resistance.",
    "missing-property": "A grade lacks a property without which no frame can be analysed.",
    "names-itself": "Something refers to itself where it must name others.",
    "no-extent": "Something ends where it begins, or before.",
    "no-horizontal-restraint": "No support holds the frame sideways.",
    "no-loads": "A load case has no loads and does not say that there are none.",
    "no-support": "Nothing holds the frame.",
    "node-twice": "A piece runs through one node twice.",
    "not-a-day": "A text is not a calendar day.",
    "not-acceptable": "No format that is accepted can be given.",
    "not-allowed": "This is taken only from the machine the service runs on, or with a token.",
    "not-analysable": "The frame cannot be analysed.",
    "not-finite": "A number is NaN, infinite, or too large to calculate with.",
    "not-json": "The body is not JSON.",
    "not-one-of": "A word is not in the list of words a field knows.",
    "not-supported-yet": "A part of the document format that this release does not take.",
    "not-utf-8": "The body is not UTF-8.",
    "nothing-to-join": "Fewer than two pieces meet where a joint is.",
    "nothing-holds-down": "All bearings can only push, so that the frame may lift off.",
    "out-of-order": "A piece names its nodes in another order than it meets them.",
    "out-of-range": "A number is smaller or larger than it may be.",
    "overlapping-editions": "Two editions of one document would judge the design.",
    "pack-not-held": "The edition or release of a pack that was asked for is not held here.",
    "pack-not-in-force": "A pack is not in force on the day asked for.",
    "repeated-name": "A member name stands twice in one JSON object.",
    "required": "Something that has to be stated is missing or null.",
    "reserved-id": "An id is kept for what the service adds itself.",
    "roving-load-on-lifting-bearing": "A load that stands anywhere and a bearing that can only push do not go together.",
    "token-needed": "No token came, or none that is known.",
    "too-deep": "Brackets stand inside brackets deeper than 64.",
    "too-large": "The body is larger than it may be.",
    "too-many-combinations": "The load cases combine in more ways than are calculated.",
    "too-much-to-judge": "Stretches of pieces, or cases or combinations times places in the frame, are more than are judged in one request.",
    "two-traditions": "Packs of two code traditions are asked for at once.",
    "unclear-form": "Nothing says which of several forms is meant, or more than one does.",
    "unknown-field": "A field there is not.",
    "unknown-grade": "No pack in force and no material of the document has this grade.",
    "unknown-name": "No pack or rule goes by this name.",
    "unknown-pack": "No pack goes by this name.",
    "unknown-parameter": "No pack in force has a value of this name.",
    "unknown-word": "A value of a pack is replaced by a word it does not know.",
    "unreadable-pin": "A pack is not named as id, id==edition or id==edition@release.",
    "unsuitable-section": "A section and its material do not go together.",
    "unsupported-media-type": "The body is of another type than is taken.",
    "unused-node": "No piece runs through a node.",
    "wrong-count": "A list has too few or too many items.",
    "wrong-digest": "The content does not have the digest that Content-Digest announces, or the header cannot be read.",
    "wrong-face": "A piece has no such face.",
    "wrong-form": "A text is not of the form a field takes.",
    "wrong-kind": "A value of a pack is replaced by one of another kind.",
    "wrong-length": "A text is too short or too long.",
    "wrong-type": "A value is of another type than a field takes.",
    "zero-length": "A piece begins and ends at one place.",
}
"""Every kind of fault of a document, by code."""
