"""Expressions of declared rules: the Common Expression Language, narrowed to what can be checked before it runs.

The only module that knows the CEL library. An expression is typed when it is compiled; what it cannot answer when it runs
comes back as Unknown (a fact was not stated) or Failed (it could not be worked out), never as an exception and never as false.
"""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextvars import ContextVar
from dataclasses import dataclass
from typing import Any, Literal

from cel_expr_python import cel

from rules.library.expression_text import (
    ExpressionRefused,
    TextFault,
    Token,
    Values,
    first_line,
    narrowed,
    tables_in,
    tokens_of,
    type_faults,
)
from rules.library.expression_tree import Tree, Unreadable, tree_of
from rules.library.functions import PLAIN, Function, of_tables
from rules.library.quick import Beyond, Quick, quick_of
from rules.library.rows import Row

VariableKind = Literal["double", "string", "bool"]
MOST_KEYS = 4
"""A table is looked up by at most this many keys."""


@dataclass(frozen=True, slots=True)
class Unknown:
    """The answer rests on a variable that has no value."""

    name: str


@dataclass(frozen=True, slots=True)
class Failed:
    """The answer could not be worked out."""

    reason: str


Answer = float | str | bool | Unknown | Failed


@dataclass(frozen=True, slots=True)
class Expression:
    """A checked expression. reads: the variables it names, in order; tables: the tables it looks things up in; tree: its parts,
    None where it uses what only the CEL library reads; quick: what answers where all it reads is stated, None likewise."""

    text: str
    reads: tuple[str, ...]
    tables: tuple[str, ...]
    kind: VariableKind
    program: Any
    language: Language
    tree: Tree | None = None
    quick: Quick | None = None

    def at_once(self, row: Row, values: Values) -> float | str | bool | None:
        """The answer where all it reads is stated and nothing goes wrong; None: the language has to be asked."""
        if self.quick is None:
            return None
        try:
            answer: float | str | bool = self.quick(row, values)
        except (Beyond, ValueError, ArithmeticError):
            return None
        return answer if self.kind != "double" or math.isfinite(answer) else None  # type: ignore[arg-type]  # a number, by its kind


class Language:
    """The variables and tables one pack's expressions of one scope may use."""

    def __init__(self, variables: Mapping[str, VariableKind], tables: Values) -> None:
        self.variables, self.tables = dict(variables), dict(tables)
        self._values: ContextVar[Values] = ContextVar("values in force")
        types = {name: _TYPES[kind] for name, kind in self.variables.items()}
        self._env = cel.NewEnv(variables=types, functions=list(self._functions()))

    def compile(self, text: str, wanted: VariableKind) -> Expression:
        """Check an expression. Raises ExpressionRefused with everything wrong in it."""
        tokens = list(tokens_of(text))
        faults = list(narrowed(text, tokens, self.tables))
        if faults:
            raise ExpressionRefused(faults)
        try:
            program = self._env.compile(text)
        except RuntimeError as error:
            raise ExpressionRefused(list(type_faults(str(error), tokens, self.variables, self.tables))) from error
        kind = _KINDS.get(program.return_type().name())
        if kind != wanted:
            said = {"bool": "true or false", "double": "a number", "string": "a word"}
            raise ExpressionRefused(
                [TextFault(1, 1, f"this gives {said.get(kind or '', 'something else')}; {said[wanted]} is needed here")]
            )
        tree = _tree(text)
        return Expression(text, self._reads(tokens), tables_in(tokens), wanted, program, self, tree, self._quick(tree))

    def _quick(self, tree: Tree | None) -> Quick | None:
        try:
            return quick_of(tree.root, self.variables) if tree else None
        except Beyond:
            return None

    def _reads(self, tokens: Iterable[Token]) -> tuple[str, ...]:
        named = (token.text for token in tokens if token.kind == "name")
        whole = (name if name in self.variables else name.rpartition(".")[0] for name in named)
        return tuple(dict.fromkeys(name for name in whole if name in self.variables))

    def activation(self, facts: Mapping[str, float | str | bool | None]) -> Any:
        """Facts ready for any number of expressions. What is not stated is left out, never None."""
        return self._env.Activation(facts)

    def evaluate(self, expression: Expression, activation: Any, values: Values) -> Answer:
        """Work it out. values: the numbers in force, for look-ups in tables."""
        token = self._values.set(values)
        try:
            answer = expression.program.eval(activation)
        except Exception as error:
            return Failed(first_line(error))
        finally:
            self._values.reset(token)
        return _answer(answer.value(), answer.type().name())

    def _functions(self) -> Iterator[Any]:
        double, string, boolean = (_TYPES[kind] for kind in ("double", "string", "bool"))
        yield _function("sqrt", double, [[double]], PLAIN["sqrt"])
        yield _function("abs", double, [[double]], PLAIN["abs"])
        yield _function("ratio", double, [[double, double]], PLAIN["ratio"])
        yield _function("lower", string, [[string]], PLAIN["lower"])
        yield _function("between", boolean, [[double, double, double]], PLAIN["between"])
        yield _function("min", double, [[double] * n for n in (2, 3, 4)], PLAIN["min"])
        yield _function("max", double, [[double] * n for n in (2, 3, 4)], PLAIN["max"])
        keys = [list(each) for n in range(1, MOST_KEYS + 1) for each in itertools.product([string, double], repeat=n)]
        shapes = [[string, *each] for each in keys]
        yield _function("look_up", string, shapes, self._in_force("look_up"))
        yield _function("look_up_number", double, shapes, self._in_force("look_up_number"))
        yield _function("interpolate", double, [each for each in shapes if each[-1] is double], self._in_force("interpolate"))
        yield _function("has_row", boolean, shapes, self._in_force("has_row"))

    def _in_force(self, name: str) -> Function:
        """A look-up in whatever tables are in force when it is called."""
        return lambda table, *keys: of_tables(self._values.get())[name](table, *keys)


def _tree(text: str) -> Tree | None:
    try:
        return tree_of(text)
    except Unreadable:
        return None


_TYPES = {"double": cel.Type.DOUBLE, "string": cel.Type.STRING, "bool": cel.Type.BOOL}
_KINDS: dict[str, VariableKind] = {"DOUBLE": "double", "STRING": "string", "BOOL": "bool"}


def _function(name: str, gives: Any, shapes: Iterable[Sequence[Any]], run: Callable[..., Any]) -> Any:
    overloads = [cel.Overload(f"{name}_{i}", gives, list(shape), impl=run) for i, shape in enumerate(shapes)]
    return cel.FunctionDecl(name, overloads)


_UNBOUND = re.compile(r'No value with name "([^"]+)"')


def _answer(value: Any, kind: str) -> Answer:
    if kind == "ERROR":
        unbound = _UNBOUND.search(str(value))
        return Unknown(unbound[1]) if unbound else Failed(first_line(value).partition(": ")[2] or first_line(value))
    if kind == "DOUBLE" and not math.isfinite(value):
        return Failed("the number grows beyond all bounds")
    if kind not in _KINDS:
        return Failed(f"it gives {kind.lower()}")
    return value  # type: ignore[no-any-return]  # one of the three kinds just tested
