"""Formula rules on whole arrays: each rule once, in its own guard; what cannot be decided is open, never a pass."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain

from rules.judge.along import Axis
from rules.judge.judgement import Judgement
from rules.judge.peaks import Peak, Peaks, find_peaks
from rules.judge.sweeping import TRACKS, Swept, sweep
from rules.judge.ties import floor
from rules.judge.words import amount
from rules.library.planning import UnknownQuantity
from rules.library.rule import Kind, Rule

Key = tuple[str, str]
Axes = Mapping[Key, Axis]


def judge_rules(rules: Sequence[Rule], axes: Axes) -> list[Judgement]:
    """Every rule on every element of its axis, over every combination set it runs under: the worst word of each, in the rules' order."""
    looked = [[key for key in keys_of(rule) if key in axes] for rule in rules]
    judged: list[dict[Key, list[Judgement]]] = [{} for _ in rules]
    for key in dict.fromkeys(chain.from_iterable(looked)):
        places = [place for place, keys in enumerate(looked) if key in keys]
        for place, words in zip(places, judge_along([rules[place] for place in places], axes[key], key), strict=True):
            judged[place][key] = words
    return [word for keys, words in zip(looked, judged, strict=True) for word in _worst_of([words[key] for key in keys])]


def _worst_of(words: Sequence[list[Judgement]]) -> Iterable[Judgement]:
    return words[0] if len(words) == 1 else map(_worst, zip(*words, strict=True))


def judge_rule(rule: Rule, axes: Axes) -> list[Judgement]:
    """One rule alone."""
    return judge_rules([rule], axes)


def judge_along(rules: Sequence[Rule], axis: Axis, key: Key) -> list[list[Judgement]]:
    """Each of these rules on every element of one axis; open on all of them where a rule could not run."""
    swept = sweep(rules, axis)
    found = find_peaks(swept, axis)
    return [_words(rule, axis, key, each, peaks) for rule, each, peaks in zip(rules, swept, found, strict=True)]


def keys_of(rule: Rule) -> list[Key]:
    """The combination sets and the axis this rule looks at."""
    axis = rule.axis or str(rule.scope)
    return [(under, axis) for under in rule.under]


def _broken(rule: Rule, axis: Axis, failure: Exception) -> list[Judgement]:
    missing = (
        f"it needs {failure}, which nothing in force provides"
        if isinstance(failure, UnknownQuantity)
        else f"{type(failure).__name__} in the rule"
    )
    ask = f"The rule could not run: {missing}. Report this to whoever keeps the pack {rule.pack!r}."
    return [
        Judgement(rule, rule.scope, element, i, Kind.OPEN, rule.part, asks=(ask,), pointer=axis.pointer(i))
        for i, element in enumerate(axis.ids)
    ]


ORDER = (Kind.FAIL, Kind.OPEN, Kind.REVIEW, Kind.INFORMATIONAL, Kind.PASS, Kind.NOT_APPLICABLE)


def _worst(candidates: Iterable[Judgement]) -> Judgement:
    """A fail before an open before a pass; among equals the higher ratio, then the first."""
    listed = list(candidates)
    gravest = min((each.kind for each in listed), key=ORDER.index)
    among = [each for each in listed if each.kind is gravest]
    if len(among) == 1:
        return among[0]
    least = floor(max(map(_ratio, among)))
    return next(each for each in among if _ratio(each) >= least)


def _ratio(judgement: Judgement) -> float:
    """How far it goes: the demand alone where no limit makes it a ratio."""
    return judgement.utilisation if judgement.utilisation is not None else judgement.demand or 0.0


def _words(rule: Rule, axis: Axis, key: Key, swept: Swept, found: Peaks) -> list[Judgement]:
    try:
        if swept.failure is not None:
            raise swept.failure
        said = _Said(rule, axis, key, rule.scope.value, rule.said(fails=False), rule.said(fails=True))
        if not found:
            return list(map(said.nowhere, range(len(axis.ids))))
        tracks = [found.get(track) or [None] * len(axis.ids) for track in TRACKS]
        return list(map(said.word, range(len(axis.ids)), *tracks))
    except Exception as failure:  # one broken rule must not silence the others: it becomes open
        return _broken(rule, axis, failure)


@dataclass(frozen=True, slots=True)
class _Said:
    """What a rule says along one axis. kind: of the elements; right, wrong: what it says where it is decided."""

    rule: Rule
    axis: Axis
    key: Key
    kind: str
    right: Kind
    wrong: Kind

    def word(self, index: int, decided: Peak | None, hidden: Peak | None, doubtful: Peak | None) -> Judgement:
        """What it comes to on one element."""
        rule = self.rule
        fails = decided is not None and decided.exceeds
        if hidden is not None and not fails:
            asks = _questions(self.axis, rule, (hidden.row, hidden.column))
            return self.at(index, Kind.OPEN, hidden._replace(limit=math.nan, share=math.nan), asks)
        if decided is None:
            return self.nowhere(index)
        if doubtful is not None:
            return self.at(index, Kind.OPEN, doubtful, (_asked(rule, doubtful),))
        kind = self.wrong if fails else self.right
        return self.at(index, kind, decided, (_asked(rule, decided),) if kind is Kind.OPEN and rule.ask else ())

    def nowhere(self, index: int) -> Judgement:
        """It does not apply."""
        rule, axis = self.rule, self.axis
        because = rule.because or "does not apply here"
        pointer = axis.pointers[index] if axis.pointers else None
        return Judgement(rule, self.kind, axis.ids[index], index, Kind.NOT_APPLICABLE, rule.part, because=because, pointer=pointer)

    def at(self, index: int, kind: Kind, peak: Peak, asks: tuple[str, ...]) -> Judgement:
        """Something to say of one place."""
        rule, axis, column = self.rule, self.axis, peak.column
        return Judgement(
            rule,
            self.kind,
            axis.ids[index],
            index,
            kind,
            rule.part,
            peak.demand if -math.inf < peak.demand < math.inf else None,
            peak.limit if -math.inf < peak.limit < math.inf else None,
            None if math.isnan(peak.share) else peak.share,
            self.key,
            (peak.row, column),
            axis.stands[column] if axis.stands else None,
            asks=asks,
            pointer=axis.pointers[index] if axis.pointers else None,
            spot=axis.spots[column] if axis.spots else None,
        )


def _asked(rule: Rule, found: Peak) -> str:
    """The rule's question, with the numbers it names."""
    return rule.ask.format(demand=amount(found.demand, rule.demand.unit), limit=amount(found.limit, rule.limit.unit))


def _questions(axis: Axis, rule: Rule, place: tuple[int, int]) -> tuple[str, ...]:
    evidence, row = axis.of(place[0])
    asked: list[str] = []
    for quantity in (rule.when, rule.demand, rule.limit):
        asked += evidence.questions(quantity.name, (row, place[1])) if quantity else []
    return tuple(dict.fromkeys(asked)) or (f"{rule.title}: a number it needs cannot be worked out here.",)
