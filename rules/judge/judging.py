"""Formula rules on whole arrays: each rule once, in its own guard; what cannot be decided is open, never a pass."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import isfinite, nan

from rules.judge.along import Axis
from rules.judge.between import Between, nothing
from rules.judge.judgement import NOTHING, Judgement, judgement_of, of_each
from rules.judge.peaks import REACHED, Peak, Peaks, find_peaks
from rules.judge.sweeping import Swept, sweep
from rules.judge.ties import floor
from rules.judge.words import amount
from rules.library.planning import UnknownQuantity
from rules.library.rule import Kind, Rule

Key = tuple[str, str]
Axes = Mapping[Key, Axis]


def judge_rules(rules: Sequence[Rule], axes: Axes, between: Between = nothing) -> list[Judgement]:
    """Every rule on every element of its axis, over every combination set it runs under: the worst word of each, in the rules' order."""
    looking: dict[Key, list[int]] = {}
    for place, rule in enumerate(rules):
        for key in rule.keys:
            if key in axes:
                looking.setdefault(key, []).append(place)
    judged: list[dict[Key, list[Judgement]]] = [{} for _ in rules]
    for key, places in looking.items():
        for place, words in zip(places, judge_along([rules[place] for place in places], axes[key], key, between), strict=True):
            judged[place][key] = words
    return [
        word for rule, words in zip(rules, judged, strict=True) for word in _worst_of([words[key] for key in rule.keys if key in words])
    ]


def _worst_of(words: Sequence[list[Judgement]]) -> Iterable[Judgement]:
    return words[0] if len(words) == 1 else map(_worst, zip(*words, strict=True))


def judge_along(rules: Sequence[Rule], axis: Axis, key: Key, between: Between = nothing) -> list[list[Judgement]]:
    """Each of these rules on every element of one axis; open on all of them where a rule could not run."""
    swept = sweep(rules, axis, between)
    found = find_peaks(swept, axis)
    return [_words(rule, axis, key, each, peaks) for rule, each, peaks in zip(rules, swept, found, strict=True)]


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
        return _Said(rule, axis, key).words(found)
    except Exception as failure:  # one broken rule must not silence the others: it becomes open
        return _broken(rule, axis, failure)


@dataclass(slots=True)
class _Said:
    """What a rule says along one axis."""

    rule: Rule
    axis: Axis
    key: Key

    def words(self, found: Peaks) -> list[Judgement]:
        """What it comes to on every element."""
        if not found:
            return self.nowhere()
        sure = [each for each in found.get("decided", ()) if each is not None]
        if len(found) == 1 and len(sure) == len(self.axis.ids):
            return list(map(self.plain, range(len(sure)), sure))
        words = self.nowhere()
        tracks = [found.get(track) or [None] * len(words) for track in REACHED]
        return [self.word(index, *peaks) or words[index] for index, peaks in enumerate(zip(*tracks, strict=True))]

    def nowhere(self) -> list[Judgement]:
        """Where it does not apply."""
        rule, axis = self.rule, self.axis
        one = Judgement(rule, rule.kind, "", 0, Kind.NOT_APPLICABLE, rule.part, because=rule.because or "does not apply here")
        return of_each(one, axis.ids, axis.pointers)

    def word(self, index: int, decided: Peak | None, hidden: Peak | None, doubtful: Peak | None) -> Judgement | None:
        """What it comes to on one element; None where it does not apply."""
        fails = decided is not None and decided.exceeds
        if hidden is not None and not fails:
            asks = _questions(self.axis, self.rule, (hidden.row, hidden.column))
            return self.at(index, Kind.OPEN, hidden._replace(limit=nan, share=nan), asks)
        if decided is not None and doubtful is not None:
            return self.at(index, Kind.OPEN, doubtful, (_asked(self.rule, doubtful),))
        return None if decided is None else self.plain(index, decided)

    def plain(self, index: int, peak: Peak) -> Judgement:
        """Where it is decided."""
        kind = self.rule.wrong if peak.exceeds else self.rule.right
        return self.at(index, kind, peak, (_asked(self.rule, peak),) if kind is Kind.OPEN and self.rule.ask else ())

    def at(self, index: int, kind: Kind, peak: Peak, asks: tuple[str, ...]) -> Judgement:
        """Something to say of one place."""
        rule, axis = self.rule, self.axis
        row, column, demand, limit, share, _ = peak
        return judgement_of(
            (
                rule,
                rule.kind,
                axis.ids[index],
                index,
                kind,
                rule.part,
                demand if isfinite(demand) else None,
                limit if isfinite(limit) else None,
                share if share == share else None,
                self.key,
                (row, column),
                axis.stands[column] if axis.stands else None,
                "",
                asks,
                "",
                axis.pointers[index] if axis.pointers else None,
                NOTHING,
                NOTHING,
                axis.spots[column] if axis.spots else None,
            )
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
