"""The text of an expression: what a rule may not use, and what is wrong with it in an engineer's words."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from rules.library.value import Value

Values = Mapping[str, Value]

MAX_CHARACTERS = 4096
"""An expression longer than this is refused."""

MAX_NUMBER = 1e12
"""Numbers in expressions, and facts put into them, stay within this, so that arithmetic on them stays finite."""

FUNCTIONS = ("abs", "between", "has_row", "interpolate", "look_up", "look_up_number", "lower", "max", "min", "ratio", "sqrt")
METHODS = ("contains", "endsWith", "startsWith")
TABLE_FUNCTIONS = ("has_row", "interpolate", "look_up", "look_up_number")


@dataclass(frozen=True, slots=True)
class TextFault:
    """What is wrong with an expression, at a line and column from 1 inside it."""

    line: int
    column: int
    message: str
    hint: str = ""


class ExpressionRefused(Exception):
    """An expression that cannot be used; carries every fault found in it."""

    def __init__(self, faults: Sequence[TextFault]) -> None:
        super().__init__(faults)
        self.faults = tuple(faults)


def first_line(error: object) -> str:
    """The first line of what an error says."""
    return (str(error).strip().splitlines() or [type(error).__name__])[0]


@dataclass(frozen=True, slots=True)
class Token:
    """One word or sign of an expression, with its line and column from 1. kind: string, number, name or sign."""

    kind: str
    text: str
    line: int
    column: int


_PATTERN = re.compile(
    r"""(?P<string>[rRbB]{0,2}(?:"{3}.*?"{3}|'{3}.*?'{3}|"(?:[^"\\\n]|\\.)*"|'(?:[^'\\\n]|\\.)*'))
      | (?P<number>(?:\d+\.\d+|\.\d+|\d+)(?:[eE][+-]?\d+)?(?P<unsigned>[uU])?)
      | (?P<name>[A-Za-z_]\w*(?:\s*\.\s*[A-Za-z_]\w*)*)
      | (?P<comment>//[^\n]*)
      | (?P<space>\s+)
      | (?P<sign>&&|\|\||[<>=!]=|.)""",
    re.VERBOSE | re.DOTALL,
)


def tokens_of(text: str) -> Iterator[Token]:
    """The words and signs of an expression; blanks and comments left out, dotted names in one piece."""
    line, start = 1, 0
    for match in _PATTERN.finditer(text):
        kind = match.lastgroup if match.lastgroup != "unsigned" else "number"
        if kind not in ("space", "comment"):
            word = re.sub(r"\s", "", match[0]) if kind == "name" else match[0]
            yield Token(str(kind), word, line, match.start() - start + 1)
        if "\n" in match[0]:
            line += match[0].count("\n")
            start = match.start() + match[0].rindex("\n") + 1


def narrowed(text: str, tokens: Sequence[Token], tables: Values) -> Iterator[TextFault]:
    """What the language would take and a rule must not use."""
    if len(text) > MAX_CHARACTERS:
        yield TextFault(1, 1, f"the expression is longer than {MAX_CHARACTERS} characters", "split the rule")
        return
    for i, token in enumerate(tokens):
        following = tokens[i + 1].text if i + 1 < len(tokens) else ""
        if token.text == "null":
            yield _at(token, "a fact is never null", "ask `<name>_stated` whether it is stated")
        elif token.text == "/" and not _divisor(tokens[i + 1 : i + 2]):
            yield _at(
                token, "a division by something that may be nought", "write ratio(a, b): it makes the judgement open when b is nought"
            )
        elif token.kind == "number" and not float(token.text.rstrip("uU")) <= MAX_NUMBER:
            yield _at(token, f"a number above {MAX_NUMBER:g} is not used in rules")
        elif token.text in ("%", "{", "["):
            if token.text != "[" or (i and tokens[i - 1].text != "in" and tokens[i - 1].kind in ("name", "string")):
                yield _at(token, f"{token.text} is not used in rules")
        elif following == "(" and token.kind == "name":
            yield from _call(tokens, i, tables)


def _at(token: Token, message: str, hint: str = "") -> TextFault:
    return TextFault(token.line, token.column, message, hint)


def _divisor(following: Sequence[Token]) -> bool:
    return bool(following) and following[0].kind == "number" and float(following[0].text.rstrip("uU")) != 0.0


def _call(tokens: Sequence[Token], i: int, tables: Values) -> Iterator[TextFault]:
    name = tokens[i].text
    method = name.rpartition(".")[2]
    if name not in FUNCTIONS and name != "in" and (("." not in name and not _after_dot(tokens, i)) or method not in METHODS):
        shown = f".{method}(" if "." in name or _after_dot(tokens, i) else f"{name}("
        yield _at(tokens[i], f"{shown} is not used in rules", "known: " + ", ".join((*FUNCTIONS, *(f".{each}" for each in METHODS))))
    elif name in TABLE_FUNCTIONS:
        yield from _table_call(tokens, i, tables)


def tables_in(tokens: Sequence[Token]) -> tuple[str, ...]:
    """The tables an expression looks things up in, in order."""
    named = [tokens[i + 2].text[1:-1] for i, token in enumerate(tokens) if token.text in TABLE_FUNCTIONS and token.kind == "name"]
    return tuple(dict.fromkeys(named))


def _after_dot(tokens: Sequence[Token], i: int) -> bool:
    return i > 0 and tokens[i - 1].text == "."


def _table_call(tokens: Sequence[Token], i: int, tables: Values) -> Iterator[TextFault]:
    first = tokens[i + 2] if i + 2 < len(tokens) else tokens[i]
    known = "the tables of this pack: " + (", ".join(sorted(tables)) or "none")
    if first.kind != "string":
        yield _at(first, "the name of a table stands here, in quotes", known)
        return
    value = tables.get(first.text[1:-1])
    if value is None or value.table is None:
        yield _at(first, f"this pack has no table called {first.text[1:-1]}", known)
        return
    keys = _arguments(tokens, i + 1) - 1
    if keys != len(value.table.by):
        yield _at(first, f"the table {value.name} is by {', '.join(value.table.by)}; {keys} key(s) stand here")
    if tokens[i].text == "look_up" and not value.is_word:
        yield _at(tokens[i], f"the table {value.name} gives numbers", "write look_up_number")
    if tokens[i].text in ("look_up_number", "interpolate") and value.is_word:
        yield _at(tokens[i], f"the table {value.name} gives words", "write look_up")
    elif tokens[i].text == "interpolate" and (why := value.table.no_curve):
        yield _at(first, f"the table {value.name} cannot be interpolated: {why}")


def _arguments(tokens: Sequence[Token], opening: int) -> int:
    depth, count = 0, 1
    for token in tokens[opening:]:
        depth += (token.text in ("(", "[")) - (token.text in (")", "]"))
        if depth == 0:
            break
        count += token.text == "," and depth == 1
    return count


_ERROR = re.compile(r"ERROR: <input>:(\d+):(\d+): (.*)$", re.MULTILINE)


def type_faults(said: str, tokens: Sequence[Token], variables: Mapping[str, str], tables: Values) -> Iterator[TextFault]:
    """What the library says of an expression it refuses, in an engineer's words, each at the word it is about."""
    found = [(int(line), int(column), message) for line, column, message in _ERROR.findall(said)]
    if not found:
        yield TextFault(1, 1, first_line(said).removesuffix(" [INVALID_ARGUMENT]"))
    for line, column, message in found:
        token = _token_at(tokens, line, column)
        if "undeclared reference" in message and token:
            yield _at(token, f"{token.text} is not known here", _meant(token.text, variables, tables))
        elif "no matching overload" in message:
            yield TextFault(line, column, _overload(message), _pointed(message, tokens, line, column))
        else:
            yield TextFault(line, column, re.sub(r" expecting \{.*", "", message))


def _token_at(tokens: Sequence[Token], line: int, column: int) -> Token | None:
    before = [token for token in tokens if (token.line, token.column) <= (line, column)]
    return before[-1] if before else None


def _meant(name: str, variables: Mapping[str, str], tables: Values) -> str:
    if name.startswith("value.") and name.removeprefix("value.") in tables:
        return f'it is a table: write look_up("{name.removeprefix("value.")}", ...)'
    close = difflib.get_close_matches(name, [*variables, *FUNCTIONS], n=1)
    return f"did you mean {close[0]}?" if close else "the names are in the catalogue of facts"


_WORDS = {"double": "a number", "string": "a word", "bool": "true or false", "int": "a whole number"}
_OVERLOAD = re.compile(r"for '([^']+)' applied to '\(?([^')]*)\)?'")


def _overload(message: str) -> str:
    found = _OVERLOAD.search(message)
    if not found:
        return message
    sign = found[1].strip("_").replace("_", "") or found[1]
    kinds = [_WORDS.get(each.strip(), each.strip()) for each in found[2].split(",")]
    return f"{sign} cannot join {' and '.join(kinds)}" if len(kinds) > 1 else f"{sign} cannot take {kinds[0]}"


def _pointed(message: str, tokens: Sequence[Token], line: int, column: int) -> str:
    """Numbers need a point: say how the nearest whole number on that line is written."""
    if "int" not in message:
        return ""
    whole = [token for token in tokens if token.kind == "number" and token.text.isdigit()]
    nearest = min(whole, key=lambda token: (abs(token.line - line), abs(token.column - column)), default=None)
    return f"write {nearest.text}.0" if nearest else "write numbers with a point, such as 2.0"
