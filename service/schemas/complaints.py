"""What the schemas say of a wrong value, and how that becomes a list of faults with pointers, in document order."""

from __future__ import annotations

import difflib
import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import Any

from marshmallow import ValidationError

from rules.subject.faults import Fault, pointer
from service.limits import LIMITS

Step = str | int
_OWN = "_schema"
_LONGEST_SHOWN = 120


@dataclass(frozen=True, slots=True)
class Complaint:
    """One thing a field or validator has against a value; where it stands and what stood there are added later."""

    code: str
    detail: str
    allowed: object = None
    hint: str = ""

    def fault(self, steps: tuple[Step, ...], found: object) -> Fault:
        """Say it of the value found at these steps."""
        return Fault(pointer(*steps), self.code, self.detail, shown(found), self.allowed, self.hint)


@dataclass(frozen=True, slots=True)
class UnknownName:
    """An object has a member its schema does not know. later: names that a later release will know, with what to do until then."""

    names: tuple[str, ...]
    later: Mapping[str, str]

    def fault(self, steps: tuple[Step, ...], found: object) -> Fault:
        """Say it of the member at these steps; the last step is its name."""
        name = str(steps[-1])
        if name in self.later:
            return Fault(pointer(*steps), "not-supported-yet", f"“{name}” is not supported yet.", shown(found), None, self.later[name])
        detail = f"There is no field called {json.dumps(name[:_LONGEST_SHOWN], ensure_ascii=False)} here."
        return Fault(pointer(*steps), "unknown-field", detail, shown(found), list(self.names), nearest(name, self.names))


@dataclass(frozen=True, slots=True)
class UnknownWord:
    """A text is none of the words of a closed list. The nearest word is looked for only when the fault is told."""

    words: tuple[str, ...]

    def fault(self, steps: tuple[Step, ...], found: object) -> Fault:
        """Say it of the text found at these steps."""
        detail = sentence(f"{describe(found)} is not one of the words this field knows.")
        return Fault(pointer(*steps), "not-one-of", detail, shown(found), list(self.words), nearest(str(found), self.words))


Complaints = Complaint | UnknownName | UnknownWord


def against(code: str, detail: str, allowed: object = None, hint: str = "") -> ValidationError:
    """The exception by which a field or validator makes a complaint."""
    return ValidationError([Complaint(code, detail, allowed, hint)])


def nearest(word: str, allowed: Sequence[str]) -> str:
    """A hint: the allowed word most like this one, or that the list says which there are."""
    close = difflib.get_close_matches(word[:64].lower(), allowed, n=1)
    return f"Did you mean “{close[0]}”?" if close else "Use one of the names listed as allowed."


def describe(value: object) -> str:
    """Name a JSON value in plain words: 'the text "12"', 'a list of 3', 'nothing'."""
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f"the text {json.dumps(_cut(value), ensure_ascii=False)}"
    if isinstance(value, Mapping):
        return "an object"
    return f"a list of {len(value)}" if isinstance(value, Sequence) else f"the number {value}"


def sentence(words: str) -> str:
    """The words with a capital at the beginning."""
    return words[:1].upper() + words[1:]


def shown(value: object) -> object:
    """A value as it may stand in an answer: short ones as they are, long texts cut, lists and objects described."""
    if isinstance(value, str):
        return _cut(value)
    return describe(value) if isinstance(value, Mapping | Sequence) else value


def faults_of(errors: Mapping[Any, Any], document: object) -> tuple[Fault, ...]:
    """Turn marshmallow's tree of messages into faults, in the order in which they stand in the document."""
    placed = islice(_complaints(errors, (), document), LIMITS.faults_counted)
    return tuple(complaint.fault(steps, found) for steps, complaint, found in placed)


def _complaints(errors: Mapping[Any, Any], steps: tuple[Step, ...], here: object) -> Iterator[tuple[tuple[Step, ...], Complaints, object]]:
    for key in _in_order(errors, here):
        messages = errors[key]
        there = _step(here, key)
        if isinstance(messages, Mapping):
            yield from _complaints(messages, (*steps, key), there)
            continue
        for message in messages:
            own = key == _OWN and not isinstance(message, UnknownName)
            yield (steps, message, here) if own else ((*steps, key), message, there)


def _in_order(errors: Mapping[Any, Any], here: object) -> list[Any]:
    """The keys as they stand in the document; members that are missing come after those that are there."""
    if not isinstance(here, Mapping):
        return sorted(errors, key=lambda key: key if isinstance(key, int) else -1)
    places = {name: place for place, name in enumerate(here)}
    return sorted(errors, key=lambda key: places.get(key, len(places)))


def _step(here: object, step: Step) -> object:
    if isinstance(here, Mapping):
        return here.get(step)
    return here[step] if isinstance(here, list) and isinstance(step, int) and step < len(here) else None


def _cut(text: str) -> str:
    return text if len(text) <= _LONGEST_SHOWN else text[:_LONGEST_SHOWN] + "…"
