"""YAML read strictly, with the line and column of everything in it."""

from __future__ import annotations

import datetime
import math
from dataclasses import dataclass, field
from typing import Any

from rules.library.yaml_nodes import AliasNode, ListNode, MappingNode, Node, ScalarNode, TextRefused, compose
from rules.subject.faults import BirdsmouthError

MAX_CHARACTERS = 1_000_000
"""A pack file longer than this is refused unread."""

MAX_DEPTH = 32
"""Mappings and lists nested deeper than this are refused."""

LONGEST_WHOLE_NUMBER = 300
"""Digits of a whole number; with more it is no number a computer calculates with."""

Path = tuple[str | int, ...]


@dataclass(frozen=True, slots=True, order=True)
class PackFault:
    """One thing wrong with a pack. file: path inside the pack folder; line, column: from 1, or 0 when it has no place."""

    file: str
    line: int
    column: int
    message: str
    hint: str = ""

    def __str__(self) -> str:
        hint = f" ({self.hint})" if self.hint else ""
        return f"{self.file}:{self.line}:{self.column}: {self.message}{hint}"

    def plain(self) -> dict[str, str | int]:
        """As plain data."""
        return {"file": self.file, "line": self.line, "column": self.column, "message": self.message, "hint": self.hint}


@dataclass(eq=False)
class PackRefused(BirdsmouthError):
    """A pack folder that cannot be used; carries every fault found, in file and line order."""

    faults: tuple[PackFault, ...]

    def __post_init__(self) -> None:
        super().__init__("\n".join(str(fault) for fault in self.faults))


@dataclass(frozen=True, slots=True)
class Place:
    """Line and column, from 1."""

    line: int
    column: int


@dataclass(slots=True)
class Source:
    """One file as plain data, the place of every key and value, and the faults met so far.

    unread: paths of values that are already faulted, so that nothing more is said of them.
    """

    file: str
    data: Any = None
    lines: list[str] = field(default_factory=list)
    values: dict[Path, Place] = field(default_factory=dict)
    keys: dict[Path, Place] = field(default_factory=dict)
    faults: list[PackFault] = field(default_factory=list)
    unread: set[Path] = field(default_factory=set)

    def place(self, path: Path) -> Place:
        """Where the value at this path stands; the nearest enclosing value where the path itself is absent."""
        while path not in self.values and path:
            path = path[:-1]
        return self.values.get(path, Place(1, 1))

    def fault(self, path: Path, message: str, hint: str = "", *, at_key: bool = False) -> None:
        """Note something wrong with the value (or the key) at this path."""
        place = self.keys[path] if at_key and path in self.keys else self.place(path)
        self.faults.append(PackFault(self.file, place.line, place.column, message, hint))

    def fault_in_text(self, path: Path, line: int, column: int, message: str, hint: str = "") -> None:
        """Note something wrong inside the text at this path; line and column from 1 within that text."""
        text = _at_path(self.data, path).splitlines()
        before = "".join(text[: line - 1]) + (text[line - 1][: column - 1] if line <= len(text) else "")
        place = self._walked(self.place(path), sum(not each.isspace() for each in before))
        self.faults.append(PackFault(self.file, place.line, place.column, message, hint))

    def _walked(self, start: Place, count: int) -> Place:
        """Where the text that begins here has its count-th character, blanks left out: they alone change when text is folded."""
        line, column = start.line - 1, start.column - 1
        mark = self.lines[line][column : column + 1]
        if mark in ("|", ">"):
            line, column = line + 1, 0
        elif mark in ("'", '"'):
            column += 1
        for at, row in enumerate(self.lines[line:], line):
            for k in range(column if at == line else 0, len(row)):
                if row[k].isspace() or (mark == '"' and row[k] == "\\"):
                    continue
                if count == 0:
                    return Place(at + 1, k + 1)
                count -= 1
        return start


def _at_path(data: Any, path: Path) -> str:
    for step in path:
        data = data[step]
    return str(data)


def read_yaml(text: str, file: str) -> Source:
    """Read one document. What cannot be read at all leaves data None and at least one fault."""
    source = Source(file)
    if len(text) > MAX_CHARACTERS:
        source.fault((), f"the file is longer than {MAX_CHARACTERS} characters", "split it")
        return source
    try:
        root = compose(text, MAX_DEPTH)
    except TextRefused as refusal:
        source.faults.append(PackFault(file, refusal.line, refusal.column, refusal.message, refusal.hint))
        return source
    if root is None:
        source.fault((), "the file is empty")
        return source
    source.lines = text.splitlines()
    source.data = _Builder(source).value(root, ())
    if source.data is None and not source.faults:
        source.fault((), "the file says nothing")
    return source


class _Builder:
    """Turns nodes into plain data: no tags, no duplicate keys, text keys only."""

    def __init__(self, source: Source) -> None:
        self.source = source

    def value(self, node: Node, path: Path) -> Any:
        self.source.values[path] = Place(node.line, node.column)
        if isinstance(node, ScalarNode):
            return self._scalar(node, path)
        if isinstance(node, AliasNode):
            return self._refuse(path, "a repeated part (&name, *name) is not used in packs", "write it out")
        if isinstance(node, ListNode | MappingNode) and node.tag:
            return self._refuse(path, f"the tag {node.tag} is not used in packs")
        if isinstance(node, MappingNode):
            return self._mapping(node, path)
        assert isinstance(node, ListNode)
        return [self.value(each, (*path, i)) for i, each in enumerate(node.items)]

    def _refuse(self, path: Path, message: str, hint: str = "") -> None:
        self.source.fault(path, message, hint)
        self.source.unread.add(path)

    def _mapping(self, node: MappingNode, path: Path) -> dict[str, Any]:
        built: dict[str, Any] = {}
        for key_node, value_node in node.pairs:
            key = self._key(key_node)
            if key is None:
                continue
            if not node.in_braces and key_node.column != node.items[0].column:  # libyaml lets this pass; YAML does not
                self._at(key_node, f"{key} is not indented as the keys above it")
            self.source.keys.setdefault((*path, key), Place(key_node.line, key_node.column))
            if key in built:
                self._at(key_node, f"{key} is written twice", "keep one of them")
                continue
            built[key] = self.value(value_node, (*path, key))
            if isinstance(value_node, ScalarNode) and not value_node.text and not value_node.style:
                line, column = key_node.end
                self.source.values[(*path, key)] = Place(line, column + 1)
        return built

    def _at(self, node: Node, message: str, hint: str = "") -> None:
        self.source.faults.append(PackFault(self.source.file, node.line, node.column, message, hint))

    def _key(self, node: Node) -> str | None:
        if not isinstance(node, ScalarNode) or node.text == "<<" or ":" in node.kind or node.kind.startswith("!"):
            self._at(node, "a key must be plain text", "write it out")
            return None
        return node.text

    def _scalar(self, node: ScalarNode, path: Path) -> Any:
        if node.kind == "str":
            return node.text
        reader = _SCALARS.get(node.kind)
        if reader is None:
            said = "<< is not used in packs" if node.kind == "merge" else f"the tag {node.kind} is not used in packs"
            return self._refuse(path, said, "write it out")
        try:
            return reader(node.text)
        except (ValueError, OverflowError):
            return self._refuse(path, f"{node.text} is no {_WORDS.get(node.kind, node.kind)} that can be read")


def _date(text: str) -> datetime.date:
    return datetime.date.fromisoformat(text)


def _float(text: str) -> float:
    number = float(text.replace(".inf", "inf").replace(".nan", "nan").replace(".Inf", "inf").replace(".NaN", "nan"))
    if not math.isfinite(number):
        raise ValueError(text)
    return number


def _whole(text: str) -> int:
    if len(text) > LONGEST_WHOLE_NUMBER:
        raise OverflowError(text)
    return int(text, 10)


_SCALARS = {
    "int": _whole,
    "float": _float,
    "bool": lambda text: text.lower() == "true",
    "null": lambda _: None,
    "timestamp": _date,
}
_WORDS = {"int": "whole number", "float": "number", "timestamp": "date", "bool": "true or false"}
