"""YAML text to nodes with their places. libyaml scans; what a plain word means is decided here, by YAML 1.2 (`no` is a word).

Built from events, one at a time, so that no depth of nesting can exhaust the stack and nothing is built of a text that is refused.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import yaml
from yaml.events import (
    AliasEvent,
    CollectionEndEvent,
    DocumentStartEvent,
    Event,
    MappingStartEvent,
    NodeEvent,
    ScalarEvent,
    SequenceStartEvent,
)


class TextRefused(Exception):
    """A text that is no single YAML document of plain data. line, column: from 1."""

    def __init__(self, line: int, column: int, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.line, self.column, self.message, self.hint = line, column, message, hint


@dataclass(eq=False, slots=True)
class Node:
    """One value with its place: line and column from 1, and where it ends."""

    line: int
    column: int
    end: tuple[int, int]


@dataclass(eq=False, slots=True)
class AliasNode(Node):
    """Another value by its name (*name), which packs do not use."""


@dataclass(eq=False, slots=True)
class ScalarNode(Node):
    """Text. kind: what a plain one means ("int", "float", "bool", "null", "timestamp", "str"), or the tag written before it."""

    text: str
    kind: str
    style: str | None


@dataclass(eq=False, slots=True)
class ListNode(Node):
    """Values in order. tag: written before it, usually none."""

    items: list[Node] = field(default_factory=list)
    tag: str = ""


@dataclass(eq=False, slots=True)
class MappingNode(Node):
    """Keys and values in turn. tag: written before it, usually none; in_braces: written {so: }, not line by line."""

    items: list[Node] = field(default_factory=list)
    tag: str = ""
    in_braces: bool = False

    @property
    def pairs(self) -> Iterator[tuple[Node, Node]]:
        """Each key with its value."""
        return zip(self.items[::2], self.items[1::2], strict=True)


_PLAIN = (
    ("merge", re.compile(r"<<\Z")),
    ("null", re.compile(r"(~|null|Null|NULL|)\Z")),
    ("bool", re.compile(r"(true|True|TRUE|false|False|FALSE)\Z")),
    ("int", re.compile(r"([-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+)\Z")),
    ("float", re.compile(r"([-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?|[-+]?\.(inf|Inf|INF)|\.(nan|NaN|NAN))\Z")),
    ("timestamp", re.compile(r"[0-9]{4}-[0-9]{1,2}-[0-9]{1,2}([Tt ].*)?\Z")),
)
"""What plain words mean in YAML 1.2's core schema, and a day, which packs write everywhere."""


_HIDDEN = re.compile("[\ufeff\x85\u2028\u2029]")
"""A byte-order mark inside the text, and what YAML 1.1 took for the end of a line and YAML 1.2 does not."""


def compose(text: str, deepest: int) -> Node | None:
    """The one document of a text; None when it is empty. Raises TextRefused, also for a nesting deeper than `deepest`."""
    if hidden := _HIDDEN.search(text, 1):
        at = hidden.start()
        line, column = text.count("\n", 0, at) + 1, at - text.rfind("\n", 0, at)
        raise TextRefused(line, column, f"an invisible letter stands here (U+{ord(hidden[0]):04X})", "take it out")
    try:
        return _built(yaml.parse(text, Loader=yaml.CLoader), deepest)
    except yaml.MarkedYAMLError as error:
        line, column = _place(error.problem_mark or error.context_mark)
        raise TextRefused(line, column, f"this is no YAML that can be read: {_said(error)}") from None
    except (yaml.YAMLError, ValueError) as error:
        said = str(error).splitlines()[0] if str(error) else type(error).__name__
        raise TextRefused(1, 1, f"this is no YAML that can be read: {said}") from None


def _place(mark: Any) -> tuple[int, int]:
    """Line and column from 1, of a mark that counts from nought; the beginning where there is none."""
    return (mark.line + 1, mark.column + 1) if mark else (1, 1)


def _said(error: yaml.MarkedYAMLError) -> str:
    return ", ".join(str(word).replace("\n", " ") for word in (error.context, error.problem) if word)


def _built(events: Iterator[Event], deepest: int) -> Node | None:
    root: Node | None = None
    open_ones: list[ListNode | MappingNode] = []
    documents = 0
    for event in events:
        line, column = _place(event.start_mark)
        if isinstance(event, DocumentStartEvent):
            documents += 1
            if documents > 1:
                raise TextRefused(line, column, "another document begins here", "one file holds one document")
        elif isinstance(event, CollectionEndEvent):
            open_ones.pop()
        elif isinstance(event, NodeEvent):
            node = _node(event, line, column)
            if open_ones:
                open_ones[-1].items.append(node)
            else:
                root = node
            if isinstance(node, ListNode | MappingNode):
                open_ones.append(node)
                if len(open_ones) > deepest:
                    raise TextRefused(line, column, f"nested deeper than {deepest}")
    return root


def _node(event: NodeEvent, line: int, column: int) -> Node:
    end = _place(event.end_mark)
    tag = getattr(event, "tag", None) or ""
    if isinstance(event, AliasEvent):
        return AliasNode(line, column, end)
    if isinstance(event, ScalarEvent):
        return ScalarNode(line, column, end, event.value, _kind(event.value, tag, event.style), event.style or None)
    if isinstance(event, MappingStartEvent):
        return MappingNode(line, column, end, tag=tag, in_braces=bool(event.flow_style))
    assert isinstance(event, SequenceStartEvent)
    return ListNode(line, column, end, tag=tag)


def _kind(text: str, tag: str, style: str | None) -> str:
    if tag:
        return "str" if tag in ("!", "tag:yaml.org,2002:str") else tag
    if style:
        return "str"
    return next((kind for kind, pattern in _PLAIN if pattern.match(text)), "str")
