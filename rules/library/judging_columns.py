"""A declared rule on many elements at once: what DeclaredRule.judge says of each, asked once of all."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from rules.library.cel import Expression
from rules.library.columns import FAILED, Beyond, Columns
from rules.library.declared import DeclaredRule, Outcome, exceeds

Bools = NDArray[np.bool_]


def judge_all(rule: DeclaredRule, columns: Columns) -> list[Outcome]:
    """The outcome of every element, in order. Where columns have no answer, the element is judged by itself."""
    sieve = _Sieve(rule, columns)
    try:
        sieve.sift()
    except Beyond:
        return [rule.judge(row) for row in columns.rows]
    for i in np.flatnonzero(sieve.apart).tolist():
        sieve.outcomes[i] = rule.judge(columns.rows[i])
    return sieve.outcomes


class _Sieve:
    """One rule over one set of columns. Each step settles some elements; left: those it has not come to yet; apart: those to be
    judged by themselves, because something fails in them or an excuse is not known."""

    def __init__(self, rule: DeclaredRule, columns: Columns) -> None:
        self.rule, self.columns = rule, columns
        self.outcomes: list[Outcome] = [rule.elsewhere] * len(columns.rows)
        self.left, self.apart = np.full(len(columns.rows), True), np.full(len(columns.rows), False)

    def sift(self) -> None:
        """The order a rule is asked in."""
        rule = self.rule
        if rule.when:
            self.take(~self.asked(rule.when))
        if rule.unless:
            self.excuse(rule.unless)
        for each in rule.undecided:
            self.settle(self.asked(each.when), rule.asking(each.ask))
        if rule.require:
            self.require(self.asked(rule.require))
        else:
            self.compare(*(self.known(side) for side in rule.sides))

    def take(self, where: Any) -> list[int]:
        """Which of these are left; from here on they are not."""
        here = self.left & where
        self.left &= ~here
        found: list[int] = np.flatnonzero(here).tolist()
        return found

    def settle(self, where: Any, outcome: Outcome) -> None:
        for i in self.take(where):
            self.outcomes[i] = outcome

    def known(self, expression: Expression) -> Any:
        """The answer, wherever it is known; elsewhere the question is the outcome."""
        answer = self.columns.answer(expression)
        if answer.lack is not None:
            self.question(answer.lack)
        return answer.values

    def asked(self, condition: Expression) -> Bools:
        return np.asarray(self.known(condition), dtype=np.bool_)

    def question(self, lack: NDArray[np.intp]) -> None:
        for k in np.unique(lack).tolist():
            if k == FAILED:
                self.set_apart(lack == k)
            elif k:
                self.settle(lack == k, self.rule.asking(self.rule.question(self.columns.lacking[k])))

    def set_apart(self, where: Any) -> None:
        self.apart[self.take(where)] = True

    def excuse(self, unless: Expression) -> None:
        """What is excused; where that is not known it matters only if something is wrong, which is asked of each by itself."""
        answer = self.columns.answer(unless)
        self.settle(answer.known & np.asarray(answer.values, dtype=np.bool_), self.rule.excused)
        self.set_apart(~np.asarray(answer.known))

    def require(self, right: Bools) -> None:
        self.settle(right, self.rule.right())
        for i in self.take(True):
            self.outcomes[i] = self.rule.wrong(self.columns.rows[i])

    def compare(self, demand: Any, limit: Any) -> None:
        wrong, demands, limits = self.spread(exceeds(demand, limit)), self.spread(demand), self.spread(limit)
        right = self.rule.right()
        for i in self.take(True):
            if wrong[i]:
                self.outcomes[i] = self.rule.wrong(self.columns.rows[i], demands[i], limits[i])
            else:
                self.outcomes[i] = Outcome(right.kind, demands[i], limits[i], message=right.message, read=right.read)

    def spread(self, values: Any) -> list[Any]:
        """One item an element, of plain Python."""
        listed = np.asarray(values).tolist()
        return listed if isinstance(listed, list) else [listed] * len(self.left)
