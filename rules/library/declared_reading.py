"""declared/*.yaml: from checked text to rules whose expressions are typed and whose examples hold."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from pathlib import PurePosixPath
from typing import Any

from rules.library.cel import Expression, Language, VariableKind
from rules.library.declared import DeclaredRule, Example, Undecided
from rules.library.expression_text import ExpressionRefused
from rules.library.facts import BY_SCOPE
from rules.library.pack_schemas import DeclaredShape
from rules.library.rule import Kind, Purpose, Scope
from rules.library.sentences import placeholders
from rules.library.shaping import shaped
from rules.library.value import Value
from rules.library.values import citation
from rules.library.yaml_source import Path, Source

MOST_RULES = 500
"""A pack holds at most this many declared rules."""


def read_declared(sources: Sequence[Source], pack: str, values: tuple[Value, ...], *, forgiving: bool) -> tuple[DeclaredRule, ...]:
    """Every rule that can be read; what is wrong stands in the faults of its source.

    values: the pack's own. forgiving: values.yaml has faults of its own, so names of values are not held against a rule.
    """
    for source in sources[MOST_RULES:]:
        source.fault((), f"a pack holds at most {MOST_RULES} declared rules", "split the pack")
    latest = _latest(values)
    languages: dict[Scope, Language] = {}
    rules = (_Reading(source, pack, latest, languages, forgiving).rule() for source in sources[:MOST_RULES])
    return tuple(rule for rule in rules if rule is not None)


def _latest(values: tuple[Value, ...]) -> dict[str, Value]:
    """Of each name, the value that comes into force last: what examples are worked with."""
    return {value.name: value for value in sorted(values, key=lambda each: each.starts or datetime.date.min)}


def variables(scope: Scope, values: Mapping[str, Value]) -> dict[str, VariableKind]:
    """Every name an expression of this scope may use, with its type."""
    known: dict[str, VariableKind] = {}
    for fact in BY_SCOPE[scope]:
        known[fact.name] = fact.kind
        if fact.nullable:
            known[f"{fact.name}_stated"] = "bool"
    scalars = {name: value for name, value in values.items() if value.table is None}
    return known | {f"value.{name}": "string" if value.is_word else "double" for name, value in scalars.items()}


class _Reading:
    """One file becoming one rule."""

    def __init__(self, source: Source, pack: str, values: Mapping[str, Value], languages: dict[Scope, Language], forgiving: bool) -> None:
        self.source, self.pack, self.values = source, pack, values
        self.languages, self.forgiving = languages, forgiving

    def rule(self) -> DeclaredRule | None:
        said = shaped(self.source, DeclaredShape()) if self.source.data is not None else None
        if said is None:
            return None
        scope = Scope(said["scope"])
        self.known = variables(scope, self.values)
        if scope not in self.languages:
            self.languages[scope] = Language(self.known, self.values)
        self.language = self.languages[scope]
        self.names(said)
        rule = self.built(said, scope)
        if rule is not None and not self.source.faults and not self.forgiving:
            self.examples(rule)
        return rule

    def names(self, said: Mapping[str, Any]) -> None:
        stem = PurePosixPath(self.source.file).stem
        if said["id"] != stem:
            self.source.fault(("id",), f"the rule is called {said['id']} and its file {stem}.yaml", "one word names both")
        try:
            unknown = [name for name in placeholders(said["message"]) if name not in self.known and name not in ("demand", "limit")]
        except ValueError as error:
            self.source.fault(("message",), f"the braces of the message cannot be read: {error}", "write {{ for a brace")
            return
        for name in unknown:
            self.source.fault(("message",), f"{{{name}}} is not known here", "{demand}, {limit}, a fact or a scalar value by name")
        compared = [name for name in placeholders(said["message"]) if name in ("demand", "limit")]
        if compared and said["demand"] is None:
            self.source.fault(("message",), f"{{{compared[0]}}} stands in a rule that compares nothing")

    def built(self, said: Mapping[str, Any], scope: Scope) -> DeclaredRule | None:
        expressions: dict[str, Any] = {name: self.expression((name,), said[name], "bool") for name in ("when", "unless", "require")}
        expressions |= {name: self.expression((name,), said[name], "double") for name in ("demand", "limit")}
        undecided = [
            Undecided(when, each["ask"])
            for i, each in enumerate(said["undecided"])
            if (when := self.expression(("undecided", i, "when"), each["when"], "bool"))
        ]
        examples = tuple(self.example(i, each) for i, each in enumerate(said["examples"]))
        unit = self.unit(said, expressions["demand"])
        self.enough(said)
        if self.source.faults or any(said[name] is not None and each is None for name, each in expressions.items()):
            return None
        plain = {name: said[name] for name in ("title", "severity", "message", "why", "part", "mandatory")}
        return DeclaredRule(
            **plain,
            **expressions,
            slug=said["id"],
            scope=scope,
            purpose=Purpose(said["purpose"]),
            cites=citation(said["cite"]),
            pack=self.pack,
            unit=unit,
            because=said["because"] or "",
            undecided=tuple(undecided),
            examples=examples,
            remedies=tuple(said["remedies"]),
            outcome=Kind(said["outcome"]),
            values=self.values,
        )

    def expression(self, path: Path, text: str | None, wanted: VariableKind) -> Expression | None:
        if text is None:
            return None
        try:
            expression = self.language.compile(text, wanted)
        except ExpressionRefused as refusal:
            for fault in refusal.faults:
                if not (self.forgiving and ("value." in fault.message or "table called" in fault.message)):
                    self.source.fault_in_text(path, fault.line, fault.column, fault.message, fault.hint)
            return None
        if wanted == "bool" and not expression.reads:
            self.source.fault(path, "this reads no fact, so it always says the same")
        return expression

    def unit(self, said: Mapping[str, Any], demand: Expression | None) -> str:
        if said["unit"] is not None or demand is None:
            return said["unit"] or ""
        fact = next((each for each in BY_SCOPE[Scope(said["scope"])] if each.name == demand.text), None)
        if fact is None:
            self.source.fault(("demand",), "`unit` is missing: what demand and limit are measured in", 'such as unit: mm, or unit: "1"')
        return fact.unit if fact else ""

    def example(self, i: int, said: Mapping[str, Any]) -> Example:
        given = {name: self.given(i, name, value) for name, value in said["given"].items()}
        if said["asks"] and said["expect"] != "open":
            self.source.fault(("examples", i, "asks"), "only an open example has a question")
        return Example(said["name"], given, Kind(said["expect"]), said["asks"])

    def given(self, i: int, name: str, value: Any) -> Any:
        path = ("examples", i, "given", name)
        kind = self.known.get(name)
        if kind is None or name.startswith("value.") or (name.endswith("_stated") and name.removesuffix("_stated") in self.known):
            if not (self.forgiving and name.startswith("value.")):
                self.source.fault(path, f"{name} is no fact of this scope", "give facts; leave one out to have it not stated", at_key=True)
            return None
        wrong = value is not None and not isinstance(value, _ACCEPTED[kind])
        if wrong or (kind == "double" and isinstance(value, bool)):
            self.source.fault(path, f"{name} is {_WORDS[kind]}, not {value!r}")
            return None
        return float(value) if kind == "double" and value is not None else value

    def enough(self, said: Mapping[str, Any]) -> None:
        """A passing example, a failing one, and with a condition one where the rule does not apply."""
        expected = {each["expect"] for each in said["examples"]}
        wanted = [
            "pass",
            said["outcome"],
            *(["notApplicable"] if said["when"] or said["unless"] else []),
            *(["open"] if said["undecided"] else []),
        ]
        for kind in wanted:
            if kind not in expected:
                self.source.fault(("examples",), f"no example expects {kind}", "each way a rule can answer is shown once", at_key=True)
        names = [each["name"] for each in said["examples"]]
        for i, name in enumerate(names):
            if name in names[:i]:
                self.source.fault(("examples", i, "name"), f"two examples are called {name!r}")

    def examples(self, rule: DeclaredRule) -> None:
        for i, example in enumerate(rule.examples):
            said = example.differs(rule.judge(example.given))
            if said:
                self.source.fault(("examples", i, "expect"), said)


_ACCEPTED: dict[VariableKind, tuple[type, ...]] = {"double": (int, float), "string": (str,), "bool": (bool,)}
_WORDS: dict[VariableKind, str] = {"double": "a number", "string": "a word", "bool": "true or false"}
