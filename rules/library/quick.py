"""Expressions over the facts of one element where all that is read is stated: functions made of the expression's tree, once.

They say what cel.py says at a small part of its cost; a property test holds the two against each other. Whatever is not plain
sailing (a fact that is not stated or not usable, a text only the CEL library reads, a division by nought, a table without a row)
raises, and is left to cel.py, which tells the reason.
"""

from __future__ import annotations

import operator
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from rules.library.expression_text import MAX_NUMBER, TABLE_FUNCTIONS
from rules.library.expression_tree import Part
from rules.library.functions import METHODS, OF_TABLES, PLAIN, TableFunctions
from rules.library.rows import FactValue, Row
from rules.library.value import Value

Values = Mapping[str, Value]
Quick = Callable[[Row, Values], Any]
"""From the facts of one element and the numbers in force to the answer."""


LITERAL = ("number", "string", "bool")
"""Kinds of part that say the same of every element."""


class Beyond(Exception):
    """Something that is left to cel.py."""


def quick_of(part: Part, kinds: Mapping[str, str]) -> Quick:
    """The function of a part. kinds: what every name is said to be. Raises Beyond."""
    made = _MAKE.get(part.kind)
    if made is None:
        raise Beyond
    return made(part, kinds)


def _inner(part: Part, kinds: Mapping[str, str]) -> list[Quick]:
    return [quick_of(each, kinds) for each in part.inner]


def _name(part: Part, kinds: Mapping[str, str]) -> Quick:
    name, kind = part.word, kinds[part.word]
    if name.startswith("value."):
        return _in_force(name, _USABLE[kind])
    return _stated(name) if name.endswith("_stated") else _FACT[kind](name)


def _in_force(name: str, usable: Callable[[FactValue], Any]) -> Quick:
    plain = name.removeprefix("value.")

    def number(row: Row, values: Values) -> Any:
        value = values.get(plain)
        return usable(row.get(name, value.number if value else None))

    return number


def _stated(name: str) -> Quick:
    fact = name.removesuffix("_stated")
    return lambda row, _: _truth(row[name]) if name in row else row.get(fact) is not None


def _number_of(name: str) -> Quick:
    def number(row: Row, _: Values) -> float:
        value = row.get(name)
        if type(value) is float and -MAX_NUMBER <= value <= MAX_NUMBER:
            return value
        raise Beyond

    return number


def _word_of(name: str) -> Quick:
    def word(row: Row, _: Values) -> str:
        value = row.get(name)
        if type(value) is str and value.isascii():
            return value
        raise Beyond

    return word


def _truth_of(name: str) -> Quick:
    def truth(row: Row, _: Values) -> bool:
        value = row.get(name)
        if type(value) is bool:
            return value
        raise Beyond

    return truth


_FACT: Mapping[str, Callable[[str], Quick]] = {"double": _number_of, "string": _word_of, "bool": _truth_of}
"""One call for what is asked most."""


def _number(value: FactValue) -> float:
    if type(value) is float and -MAX_NUMBER <= value <= MAX_NUMBER:
        return value
    raise Beyond


def _word(value: FactValue) -> str:
    if type(value) is str and value.isascii():
        return value
    raise Beyond


def _truth(value: FactValue) -> bool:
    if type(value) is bool:
        return value
    raise Beyond


_USABLE: Mapping[str, Callable[[FactValue], Any]] = {"double": _number, "string": _word, "bool": _truth}


def _literal_number(part: Part, _: Mapping[str, str]) -> Quick:
    if part.word.isalnum() and not ("e" in part.word or "E" in part.word):
        raise Beyond
    return _always(float(part.word))


def _literal_word(part: Part, _: Mapping[str, str]) -> Quick:
    if part.word[0] not in "\"'" or part.word[:3] in ('"""', "'''") or "\\" in part.word:
        raise Beyond
    return _always(part.word[1:-1])


def _literal_truth(part: Part, _: Mapping[str, str]) -> Quick:
    return _always(part.word == "true")


def _always(value: float | str | bool) -> Quick:
    return lambda _row, _values: value


def _not(part: Part, kinds: Mapping[str, str]) -> Quick:
    (inner,) = _inner(part, kinds)
    return lambda row, values: not inner(row, values)


def _negative(part: Part, kinds: Mapping[str, str]) -> Quick:
    (inner,) = _inner(part, kinds)
    return lambda row, values: -inner(row, values)


def _joined(part: Part, kinds: Mapping[str, str]) -> Quick:
    join, (left, right) = _JOIN[part.word], _inner(part, kinds)
    if part.inner[1].kind in LITERAL:
        constant = right({}, {})
        return lambda row, values: join(left(row, values), constant)
    return lambda row, values: join(left(row, values), right(row, values))


def _and(part: Part, kinds: Mapping[str, str]) -> Quick:
    return _chain(_inner(part, kinds), settles=False)


def _or(part: Part, kinds: Mapping[str, str]) -> Quick:
    return _chain(_inner(part, kinds), settles=True)


def _chain(terms: Sequence[Quick], *, settles: bool) -> Quick:
    def chain(row: Row, values: Values) -> bool:
        for term in terms:
            if term(row, values) == settles:
                return settles
        return not settles

    return chain


def _choice(part: Part, kinds: Mapping[str, str]) -> Quick:
    asked, yes, no = _inner(part, kinds)
    return lambda row, values: yes(row, values) if asked(row, values) else no(row, values)


def _in(part: Part, kinds: Mapping[str, str]) -> Quick:
    sought, among = part.inner
    if among.kind != "list":
        raise Beyond
    one, others = quick_of(sought, kinds), _inner(among, kinds)
    if all(each.kind in LITERAL for each in among.inner):
        constants = [other({}, {}) for other in others]
        return lambda row, values: one(row, values) in constants
    return lambda row, values: one(row, values) in [other(row, values) for other in others]


def _call(part: Part, kinds: Mapping[str, str]) -> Quick:
    arguments, word = _inner(part, kinds), part.word
    if word in TABLE_FUNCTIONS:
        look = OF_TABLES[word]
        return lambda row, values: look(TableFunctions(values), *[each(row, values) for each in arguments])
    function = PLAIN.get(word) or METHODS[word]
    return lambda row, values: function(*[each(row, values) for each in arguments])


_JOIN: Mapping[str, Callable[[Any, Any], Any]] = {
    "==": operator.eq, "!=": operator.ne, "<": operator.lt, "<=": operator.le, ">": operator.gt, ">=": operator.ge,
    "+": operator.add, "-": operator.sub, "*": operator.mul, "/": operator.truediv,
}  # fmt: skip
_MAKE: Mapping[str, Callable[[Part, Mapping[str, str]], Quick]] = {
    "name": _name, "number": _literal_number, "string": _literal_word, "bool": _literal_truth, "not": _not, "negative": _negative,
    "arithmetic": _joined, "comparison": _joined, "and": _and, "or": _or, "choice": _choice, "in": _in, "call": _call,
}  # fmt: skip
