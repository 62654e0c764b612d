"""Expressions over the facts of many elements at once: the subset of the language that arithmetic on arrays can answer.

It says what cel.py says of each element by itself, unstated facts and division by nought included, at a hundredth of the cost; a
property test holds the two against each other. What it does not know (whole numbers, texts with escapes) raises Beyond, and what cannot
be worked out at one element is left to cel.py there, which tells the reason.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import reduce
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rules.library.cel import Expression, VariableKind
from rules.library.expression_text import TABLE_FUNCTIONS
from rules.library.expression_tree import Part
from rules.library.functions import GIVES, METHODS, PLAIN, Function, of_tables
from rules.library.rows import FactValue, Row, usable, value_of
from rules.library.value import Value

FAILED = -1
"""A lack that is not one unstated fact: the answer cannot be worked out here."""


class Beyond(Exception):
    """The expression holds something that columns do not answer."""


@dataclass(frozen=True, slots=True)
class Column:
    """An answer for every element, or one for all. values: numbers, words or truths; where something is lacking, nothing to rely on.
    lack: 0 where the answer is known, k where it rests on the k-th unstated name (Columns.lacking), FAILED otherwise; None: known
    everywhere."""

    values: Any
    lack: NDArray[np.intp] | None = None

    @property
    def known(self) -> Any:
        """Where the answer can be relied on."""
        return True if self.lack is None else self.lack == 0


class Columns:
    """Rows of facts of like elements, a column for each name, made on first use and kept."""

    def __init__(self, rows: Sequence[Row], values: Mapping[str, Value]) -> None:
        self.rows, self.values = rows, values
        self.functions: Mapping[str, Function] = {**PLAIN, **METHODS, **of_tables(values)}
        self.lacking: list[str] = [""]
        self._kept: dict[tuple[str, VariableKind], Column] = {}

    def of(self, name: str, kind: VariableKind) -> Column:
        """One fact or number by name."""
        if (name, kind) not in self._kept:
            self._kept[name, kind] = self._made(name, kind)
        return self._kept[name, kind]

    def _made(self, name: str, kind: VariableKind) -> Column:
        stated = self.stated(name)
        good = [_fits(value, kind) for value in stated]
        filled = [value if fits else _EMPTY[kind] for value, fits in zip(stated, good, strict=True)]
        column: NDArray[Any] = np.array(filled, dtype=_DTYPES[kind])
        if all(good):
            return Column(column)
        self.lacking.append(name)
        return Column(column, np.where(good, 0, [len(self.lacking) - 1 if value is None else FAILED for value in stated]))

    def stated(self, name: str) -> list[FactValue]:
        """What every row says of a name; None: nothing."""
        return [value_of(row, name, self.values) for row in self.rows]

    def answer(self, expression: Expression) -> Column:
        """The expression's answer for every element. Raises Beyond."""
        if expression.tree is None:
            raise Beyond
        with np.errstate(all="ignore"):
            found = _Answering(self, expression.language.variables).of(expression.tree.root)
        if expression.kind != "double" or np.all(bounded := np.isfinite(found.values)):
            return found
        return Column(np.where(bounded, found.values, 0.0), _first([found.lack, np.where(bounded, 0, FAILED)]))


@dataclass(frozen=True, slots=True)
class LookUp:
    """What one look-up gave. words: as it stands in the expression; value: the table."""

    words: str
    value: Value
    result: FactValue

    @property
    def unit(self) -> str:
        """Of the result."""
        return "" if isinstance(self.result, bool) else self.value.unit


def look_ups(expression: Expression, row: Row, values: Mapping[str, Value]) -> Iterator[LookUp]:
    """Every look-up of an expression that has an answer for this row, in the order they stand there."""
    tree = expression.tree
    answering = _Answering(Columns([row], values), expression.language.variables)
    for part in tree.root.walk() if tree else ():
        if part.kind == "call" and part.word in TABLE_FUNCTIONS:
            column = answering.of(part)
            if tree and np.all(column.known):
                name = part.inner[0].word[1:-1]
                yield LookUp(" ".join(tree.said(part).split()), values[name], np.asarray(column.values).item(0))


_DTYPES: Mapping[VariableKind, type] = {"double": np.float64, "string": object, "bool": np.bool_}
_EMPTY: Mapping[VariableKind, FactValue] = {"double": 0.0, "string": "", "bool": False}
_OF_PYTHON: Mapping[type, VariableKind] = {float: "double", str: "string", bool: "bool"}


def _fits(value: FactValue, kind: VariableKind) -> bool:
    """Whether cel.py would take it for what it is said to be."""
    if isinstance(value, str):
        return kind == "string" and (value.isascii() or not any("\ud800" <= letter <= "\udfff" for letter in value))
    return isinstance(value, bool if kind == "bool" else float) and kind != "string" and usable(value)


def _first(lacks: Sequence[NDArray[np.intp] | None]) -> NDArray[np.intp] | None:
    """What parts that are all needed lack between them: at each element, what the first of them lacks."""
    some = [lack for lack in lacks if lack is not None]
    return reduce(lambda one, other: np.where(one == 0, other, one), some) if some else None


_COMPARE: Mapping[str, Any] = {
    "==": np.equal, "!=": np.not_equal, "<": np.less, "<=": np.less_equal, ">": np.greater, ">=": np.greater_equal,
}  # fmt: skip
_COMPUTE: Mapping[str, Any] = {"+": np.add, "-": np.subtract, "*": np.multiply, "/": np.divide}


class _Answering:
    """One expression over one set of columns, part by part; a method for each kind of part."""

    def __init__(self, columns: Columns, variables: Mapping[str, VariableKind]) -> None:
        self.columns, self.variables = columns, variables

    def of(self, part: Part) -> Column:
        answered: Column = getattr(self, f"_{part.kind}")(part)
        return answered

    def _name(self, part: Part) -> Column:
        return self.columns.of(part.word, self.variables[part.word])

    def _number(self, part: Part) -> Column:
        if part.word.isalnum() and not ("e" in part.word or "E" in part.word):
            raise Beyond
        return Column(float(part.word))

    def _string(self, part: Part) -> Column:
        if part.word[0] not in "\"'" or part.word[:3] in ('"""', "'''") or "\\" in part.word:
            raise Beyond
        return Column(part.word[1:-1])

    def _bool(self, part: Part) -> Column:
        return Column(part.word == "true")

    def _not(self, part: Part) -> Column:
        inner = self.of(part.inner[0])
        return Column(np.logical_not(inner.values), inner.lack)

    def _negative(self, part: Part) -> Column:
        inner = self.of(part.inner[0])
        return Column(np.negative(inner.values), inner.lack)

    def _arithmetic(self, part: Part) -> Column:
        return self._joined(_COMPUTE[part.word], part)

    def _comparison(self, part: Part) -> Column:
        return self._joined(_COMPARE[part.word], part)

    def _joined(self, join: Any, part: Part) -> Column:
        left, right = map(self.of, part.inner)
        return Column(join(_array(left.values), _array(right.values)), _first((left.lack, right.lack)))

    def _and(self, part: Part) -> Column:
        return self._chain(part, np.logical_and, False)

    def _or(self, part: Part) -> Column:
        return self._chain(part, np.logical_or, True)

    def _chain(self, part: Part, join: Any, settles: bool) -> Column:
        """One term that settles the answer settles it whatever the others lack."""
        terms = [self.of(each) for each in part.inner]
        lack, values = _first([term.lack for term in terms]), reduce(join, [term.values for term in terms])
        if lack is None:
            return Column(values)
        settled = reduce(np.logical_or, [np.equal(term.values, settles) & term.known for term in terms])
        return Column(np.where(settled, settles, values), np.where(settled, 0, lack))

    def _choice(self, part: Part) -> Column:
        asked, yes, no = map(self.of, part.inner)
        values = np.where(asked.values, _array(yes.values), _array(no.values))
        if yes.lack is None and no.lack is None:
            return Column(values, asked.lack)
        taken = np.where(asked.values, *(0 if each.lack is None else each.lack for each in (yes, no)))
        return Column(values, _first([asked.lack, taken]))

    def _in(self, part: Part) -> Column:
        sought, among = part.inner
        if among.kind != "list":
            raise Beyond
        one, others = self.of(sought), [self.of(each) for each in among.inner]
        found = [np.equal(_array(one.values), _array(other.values)) for other in others]
        return Column(reduce(np.logical_or, found, False), _first([one.lack, *(other.lack for other in others)]))

    def _call(self, part: Part) -> Column:
        """A function has no array form: it is called once an element, as cel.py calls it."""
        arguments = [self.of(each) for each in part.inner]
        lacking = _first([each.lack for each in arguments])
        lack = np.array(np.broadcast_to(0 if lacking is None else lacking, len(self.columns.rows)))
        gives = _OF_PYTHON[GIVES[part.word]]
        results: NDArray[Any] = np.full(len(lack), _EMPTY[gives], dtype=_DTYPES[gives])
        given = [np.broadcast_to(_array(each.values), lack.shape).tolist() for each in arguments]
        for i in np.flatnonzero(lack == 0):
            try:
                results[i] = self.columns.functions[part.word](*(each[i] for each in given))
            except (ValueError, OverflowError, ArithmeticError):
                lack[i] = FAILED
        return Column(results, lack)


def _array(values: Any) -> Any:
    """A word as an object, so that numpy compares and joins texts whole."""
    return np.asarray(values, dtype=object) if isinstance(values, str) else values
