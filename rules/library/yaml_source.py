"""YAML read strictly, with the line and column of everything in it."""

from __future__ import annotations

import datetime
import math
from dataclasses import dataclass, field
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError, YAMLError
from ruamel.yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode

from rules.subject.faults import BirdsmouthError

MAX_CHARACTERS = 1_000_000
"""A pack file longer than this is refused unread."""

MAX_DEPTH = 32
"""Mappings and lists nested deeper than this are refused."""

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
        root = YAML(typ="safe", pure=True).compose(text)
    except MarkedYAMLError as error:
        _syntax(source, error)
        return source
    except (YAMLError, RecursionError, ValueError, OverflowError) as error:
        source.fault((), f"this is no YAML that can be read: {str(error).splitlines()[0] if str(error) else type(error).__name__}")
        return source
    if root is None:
        source.fault((), "the file is empty")
        return source
    source.lines = text.splitlines()
    _Builder(source).build(root)
    if source.data is None and not source.faults:
        source.fault((), "the file says nothing")
    return source


def _syntax(source: Source, error: MarkedYAMLError) -> None:
    mark = error.problem_mark or error.context_mark
    line, column = (mark.line + 1, mark.column + 1) if mark else (1, 1)
    source.faults.append(PackFault(source.file, line, column, f"this is no YAML that can be read: {_said(error)}"))


def _said(error: MarkedYAMLError) -> str:
    words = [str(word).replace("\n", " ") for word in (error.context, error.problem) if word]
    return ", ".join(words)


class _Builder:
    """Turns composed nodes into plain data: no anchors, no tags, no duplicate keys, text keys only."""

    def __init__(self, source: Source) -> None:
        self.source = source
        self.met: set[int] = set()

    def build(self, root: Node) -> None:
        data = self._value(root, ())
        self.source.data = data

    def _value(self, node: Node, path: Path) -> Any:
        self.source.values[path] = self._place(node)
        if id(node) in self.met:
            return self._refuse(path, "a repeated part (&name, *name) is not used in packs", "write it out")
        self.met.add(id(node))
        if len(path) > MAX_DEPTH:
            return self._refuse(path, f"nested deeper than {MAX_DEPTH}")
        if isinstance(node, MappingNode):
            return self._mapping(node, path)
        if isinstance(node, SequenceNode):
            return [self._value(each, (*path, i)) for i, each in enumerate(node.value)]
        return self._scalar(node, path) if isinstance(node, ScalarNode) else None

    def _refuse(self, path: Path, message: str, hint: str = "") -> None:
        self.source.fault(path, message, hint)
        self.source.unread.add(path)

    def _place(self, node: Node) -> Place:
        return Place(node.start_mark.line + 1, node.start_mark.column + 1)

    def _mapping(self, node: MappingNode, path: Path) -> dict[str, Any]:
        built: dict[str, Any] = {}
        for key_node, value_node in node.value:
            key = self._key(key_node, path)
            if key is None:
                continue
            self.source.keys.setdefault((*path, key), self._place(key_node))
            if key in built:
                at = self._place(key_node)
                self.source.faults.append(PackFault(self.source.file, at.line, at.column, f"{key} is written twice", "keep one of them"))
                continue
            built[key] = self._value(value_node, (*path, key))
            if isinstance(value_node, ScalarNode) and not value_node.value and not value_node.style:
                self.source.values[(*path, key)] = Place(key_node.end_mark.line + 1, key_node.end_mark.column + 2)
        return built

    def _key(self, node: Node, path: Path) -> str | None:
        at = self._place(node)
        if not isinstance(node, ScalarNode) or node.value == "<<" or id(node) in self.met:
            self.source.faults.append(PackFault(self.source.file, at.line, at.column, "a key must be plain text", "write it out"))
            return None
        return str(node.value)

    def _scalar(self, node: ScalarNode, path: Path) -> Any:
        kind = str(node.tag).rpartition(":")[2]
        text = str(node.value)
        if node.style in ("|", ">", "'", '"') or kind == "str":
            return text if kind == "str" else self._refuse(path, f"the tag {node.tag} is not used in packs")
        reader = _SCALARS.get(kind)
        if reader is None:
            return self._refuse(path, f"the tag {node.tag} is not used in packs")
        try:
            return reader(text)
        except (ValueError, OverflowError):
            return self._refuse(path, f"{text} is no {_WORDS.get(kind, kind)} that can be read")


def _date(text: str) -> datetime.date:
    return datetime.date.fromisoformat(text)


def _float(text: str) -> float:
    number = float(text.replace(".inf", "inf").replace(".nan", "nan").replace(".Inf", "inf").replace(".NaN", "nan"))
    if not math.isfinite(number):
        raise ValueError(text)
    return number


def _whole(text: str) -> int:
    return int(text, 10)


_SCALARS = {
    "int": _whole,
    "float": _float,
    "bool": lambda text: text.lower() == "true",
    "null": lambda _: None,
    "timestamp": _date,
}
_WORDS = {"int": "whole number", "float": "number", "timestamp": "date", "bool": "true or false"}
