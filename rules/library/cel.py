"""Expressions of declared rules: the Common Expression Language, narrowed to what can be checked before it runs.

The only module that knows the CEL library. An expression is typed when it is compiled; what it cannot answer when it runs
comes back as Unknown (a fact was not stated) or Failed (it could not be worked out), never as an exception and never as false.
"""

from __future__ import annotations

import difflib
import itertools
import math
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextvars import ContextVar
from dataclasses import dataclass
from typing import Any, Literal

from cel_expr_python import cel  # type: ignore[import-untyped]  # ships its stubs without the py.typed marker

from rules.library.value import Value

MAX_CHARACTERS = 4096
"""An expression longer than this is refused."""

MAX_NUMBER = 1e12
"""Numbers in expressions, and facts put into them, stay within this, so that arithmetic on them stays finite."""

VariableKind = Literal["double", "string", "bool"]
MOST_KEYS = 4
"""A table is looked up by at most this many keys."""

FUNCTIONS = ("abs", "between", "has_row", "look_up", "look_up_number", "lower", "max", "min", "ratio", "sqrt")
METHODS = ("contains", "endsWith", "startsWith")
TABLE_FUNCTIONS = ("has_row", "look_up", "look_up_number")


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


@dataclass(frozen=True, slots=True)
class Unknown:
    """The answer rests on a variable that has no value."""

    name: str


@dataclass(frozen=True, slots=True)
class Failed:
    """The answer could not be worked out."""

    reason: str


Answer = float | str | bool | Unknown | Failed
Values = Mapping[str, Value]


@dataclass(frozen=True, slots=True)
class Expression:
    """A checked expression. reads: the variables it names, in order; tables: the tables it looks things up in."""

    text: str
    reads: tuple[str, ...]
    tables: tuple[str, ...]
    kind: VariableKind
    program: Any
    language: Language


class Language:
    """The variables and tables one pack's expressions of one scope may use."""

    def __init__(self, variables: Mapping[str, VariableKind], tables: Values) -> None:
        self.variables, self.tables = dict(variables), dict(tables)
        self._values: ContextVar[Values] = ContextVar("values in force")
        types = {name: _TYPES[kind] for name, kind in self.variables.items()}
        self._env = cel.NewEnv(variables=types, functions=list(self._functions()))

    def compile(self, text: str, wanted: VariableKind) -> Expression:
        """Check an expression. Raises ExpressionRefused with everything wrong in it."""
        tokens = list(_tokens(text))
        faults = list(_narrowed(text, tokens, self.tables))
        if faults:
            raise ExpressionRefused(faults)
        try:
            program = self._env.compile(text)
        except RuntimeError as error:
            raise ExpressionRefused(list(_type_faults(str(error), tokens, self.variables, self.tables))) from error
        kind = _KINDS.get(program.return_type().name())
        if kind != wanted:
            said = {"bool": "true or false", "double": "a number", "string": "a word"}
            raise ExpressionRefused(
                [TextFault(1, 1, f"this gives {said.get(kind or '', 'something else')}; {said[wanted]} is needed here")]
            )
        return Expression(text, self._reads(tokens), _tables(tokens), wanted, program, self)

    def _reads(self, tokens: Iterable[_Token]) -> tuple[str, ...]:
        named = (token.text for token in tokens if token.kind == "name")
        whole = (name if name in self.variables else name.rpartition(".")[0] for name in named)
        return tuple(dict.fromkeys(name for name in whole if name in self.variables))

    def activation(self, facts: Mapping[str, float | str | bool | None]) -> Any:
        """The facts that are stated, ready for any number of expressions."""
        return self._env.Activation({name: value for name, value in facts.items() if value is not None})

    def evaluate(self, expression: Expression, activation: Any, values: Values) -> Answer:
        """Work it out. values: the numbers in force, for look-ups in tables."""
        token = self._values.set(values)
        try:
            answer = expression.program.eval(activation)
        except Exception as error:
            return Failed(_first_line(error))
        finally:
            self._values.reset(token)
        return _answer(answer.value(), answer.type().name())

    def _functions(self) -> Iterator[Any]:
        double, string, boolean = (_TYPES[kind] for kind in ("double", "string", "bool"))
        yield _function("sqrt", double, [[double]], _square_root)
        yield _function("abs", double, [[double]], abs)
        yield _function("ratio", double, [[double, double]], _ratio)
        yield _function("lower", string, [[string]], lambda text: text.strip().lower())
        yield _function("between", boolean, [[double, double, double]], lambda x, low, high: low <= x <= high)
        yield _function("min", double, [[double] * n for n in (2, 3, 4)], min)
        yield _function("max", double, [[double] * n for n in (2, 3, 4)], max)
        keys = [list(each) for n in range(1, MOST_KEYS + 1) for each in itertools.product([string, double], repeat=n)]
        shapes = [[string, *each] for each in keys]
        yield _function("look_up", string, shapes, self._look_up)
        yield _function("look_up_number", double, shapes, self._look_up)
        yield _function("has_row", boolean, shapes, self._has_row)

    def _look_up(self, table: str, *keys: float | str) -> float | str:
        value = self._table(table)
        found = value.number if value.table is None else value.table.look_up(keys)
        if found is None:
            raise ValueError(f"the table {table} has no row for {', '.join(map(str, keys))}")
        return found

    def _has_row(self, table: str, *keys: float | str) -> bool:
        value = self._table(table)
        return value.table is None or value.table.look_up(keys) is not None

    def _table(self, name: str) -> Value:
        if name not in self._values.get():
            raise ValueError(f"the table {name} is not in force on this day")
        return self._values.get()[name]


_TYPES = {"double": cel.Type.DOUBLE, "string": cel.Type.STRING, "bool": cel.Type.BOOL}
_KINDS: dict[str, VariableKind] = {"DOUBLE": "double", "STRING": "string", "BOOL": "bool"}


def _function(name: str, gives: Any, shapes: Iterable[Sequence[Any]], run: Callable[..., Any]) -> Any:
    overloads = [cel.Overload(f"{name}_{i}", gives, list(shape), impl=run) for i, shape in enumerate(shapes)]
    return cel.FunctionDecl(name, overloads)


def _square_root(x: float) -> float:
    if x < 0.0:
        raise ValueError(f"there is no square root of {x:g}")
    return math.sqrt(x)


def _ratio(above: float, below: float) -> float:
    if below == 0.0:
        raise ValueError(f"{above:g} divided by nought")
    return above / below


_UNBOUND = re.compile(r'No value with name "([^"]+)"')


def _answer(value: Any, kind: str) -> Answer:
    if kind == "ERROR":
        unbound = _UNBOUND.search(str(value))
        return Unknown(unbound[1]) if unbound else Failed(_first_line(value).partition(": ")[2] or _first_line(value))
    if kind == "DOUBLE" and not math.isfinite(value):
        return Failed("the number grows beyond all bounds")
    if kind not in _KINDS:
        return Failed(f"it gives {kind.lower()}")
    return value  # type: ignore[no-any-return]  # one of the three kinds just tested


def _first_line(error: object) -> str:
    return (str(error).strip().splitlines() or [type(error).__name__])[0]


@dataclass(frozen=True, slots=True)
class _Token:
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


def _tokens(text: str) -> Iterator[_Token]:
    line, start = 1, 0
    for match in _PATTERN.finditer(text):
        kind = match.lastgroup if match.lastgroup != "unsigned" else "number"
        if kind not in ("space", "comment"):
            word = re.sub(r"\s", "", match[0]) if kind == "name" else match[0]
            yield _Token(str(kind), word, line, match.start() - start + 1)
        if "\n" in match[0]:
            line += match[0].count("\n")
            start = match.start() + match[0].rindex("\n") + 1


def _narrowed(text: str, tokens: Sequence[_Token], tables: Values) -> Iterator[TextFault]:
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


def _at(token: _Token, message: str, hint: str = "") -> TextFault:
    return TextFault(token.line, token.column, message, hint)


def _divisor(following: Sequence[_Token]) -> bool:
    return bool(following) and following[0].kind == "number" and float(following[0].text.rstrip("uU")) != 0.0


def _call(tokens: Sequence[_Token], i: int, tables: Values) -> Iterator[TextFault]:
    name = tokens[i].text
    method = name.rpartition(".")[2]
    if name not in FUNCTIONS and name != "in" and (("." not in name and not _after_dot(tokens, i)) or method not in METHODS):
        shown = f".{method}(" if "." in name or _after_dot(tokens, i) else f"{name}("
        yield _at(tokens[i], f"{shown} is not used in rules", "known: " + ", ".join((*FUNCTIONS, *(f".{each}" for each in METHODS))))
    elif name in TABLE_FUNCTIONS:
        yield from _table_call(tokens, i, tables)


def _tables(tokens: Sequence[_Token]) -> tuple[str, ...]:
    named = [tokens[i + 2].text[1:-1] for i, token in enumerate(tokens) if token.text in TABLE_FUNCTIONS and token.kind == "name"]
    return tuple(dict.fromkeys(named))


def _after_dot(tokens: Sequence[_Token], i: int) -> bool:
    return i > 0 and tokens[i - 1].text == "."


def _table_call(tokens: Sequence[_Token], i: int, tables: Values) -> Iterator[TextFault]:
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
    if tokens[i].text == "look_up_number" and value.is_word:
        yield _at(tokens[i], f"the table {value.name} gives words", "write look_up")


def _arguments(tokens: Sequence[_Token], opening: int) -> int:
    depth, count = 0, 1
    for token in tokens[opening:]:
        depth += (token.text in ("(", "[")) - (token.text in (")", "]"))
        if depth == 0:
            break
        count += token.text == "," and depth == 1
    return count


_ERROR = re.compile(r"ERROR: <input>:(\d+):(\d+): (.*)$", re.MULTILINE)


def _type_faults(said: str, tokens: Sequence[_Token], variables: Mapping[str, str], tables: Values) -> Iterator[TextFault]:
    found = [(int(line), int(column), message) for line, column, message in _ERROR.findall(said)]
    if not found:
        yield TextFault(1, 1, _first_line(said).removesuffix(" [INVALID_ARGUMENT]"))
    for line, column, message in found:
        token = _token_at(tokens, line, column)
        if "undeclared reference" in message and token:
            yield _at(token, f"{token.text} is not known here", _meant(token.text, variables, tables))
        elif "no matching overload" in message:
            yield TextFault(line, column, _overload(message), _pointed(message, tokens, line, column))
        else:
            yield TextFault(line, column, re.sub(r" expecting \{.*", "", message))


def _token_at(tokens: Sequence[_Token], line: int, column: int) -> _Token | None:
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


def _pointed(message: str, tokens: Sequence[_Token], line: int, column: int) -> str:
    """Numbers need a point: say how the nearest whole number on that line is written."""
    if "int" not in message:
        return ""
    whole = [token for token in tokens if token.kind == "number" and token.text.isdigit()]
    nearest = min(whole, key=lambda token: (abs(token.line - line), abs(token.column - column)), default=None)
    return f"write {nearest.text}.0" if nearest else "write numbers with a point, such as 2.0"
