"""What packs are made of, how they are read, and how those that speak on a design are chosen."""

from rules.library.acting import (
    has_cuts,
    is_bent,
    is_bent_and_pressed,
    is_bent_and_pulled,
    is_deep,
    is_pressed,
    is_pulled,
    is_sheared,
    presses_down,
    sagging,
    unsupported_length,
)
from rules.library.catalogue import pack_list, pack_page, rule_page
from rules.library.choosing import Chosen, Selection, choose
from rules.library.citation import Citation, clause
from rules.library.declared import DeclaredRule, Outcome
from rules.library.derivation import Derivation, Derive, Derived, Doubt, Known, Sheet
from rules.library.evidence import Evidence, at_place
from rules.library.facts import BY_SCOPE, Fact
from rules.library.given import Given
from rules.library.hooks import hookimpl, hookspec
from rules.library.labels import Labels
from rules.library.loading import BrokenPack, Library, LibraryRefused, load_library
from rules.library.pack import Expected, Pack
from rules.library.pack_schemas import ENGINE_API
from rules.library.planning import UnknownQuantity
from rules.library.quantity import ONE, Quantity, quantity
from rules.library.reading import PackSource
from rules.library.rule import (
    BRACE,
    DESIGN,
    DURABILITY,
    JOINT,
    LOADS,
    MEMBER,
    PRACTICE,
    SERVICEABILITY,
    STRENGTH,
    SUPPORT,
    Kind,
    Purpose,
    Rule,
    Scope,
)
from rules.library.steps import Step
from rules.library.value import ANY, Interval, Table, Value
from rules.library.yaml_source import PackFault, PackRefused

__all__ = [
    "ANY",
    "BRACE",
    "BY_SCOPE",
    "DESIGN",
    "DURABILITY",
    "ENGINE_API",
    "JOINT",
    "LOADS",
    "MEMBER",
    "ONE",
    "PRACTICE",
    "SERVICEABILITY",
    "STRENGTH",
    "SUPPORT",
    "BrokenPack",
    "Chosen",
    "Citation",
    "DeclaredRule",
    "Derivation",
    "Derive",
    "Derived",
    "Doubt",
    "Evidence",
    "Expected",
    "Fact",
    "Given",
    "Interval",
    "Kind",
    "Known",
    "Labels",
    "Library",
    "LibraryRefused",
    "Outcome",
    "Pack",
    "PackFault",
    "PackRefused",
    "PackSource",
    "Purpose",
    "Quantity",
    "Rule",
    "Scope",
    "Selection",
    "Sheet",
    "Step",
    "Table",
    "UnknownQuantity",
    "Value",
    "at_place",
    "choose",
    "clause",
    "has_cuts",
    "hookimpl",
    "hookspec",
    "is_bent",
    "is_bent_and_pressed",
    "is_bent_and_pulled",
    "is_deep",
    "is_pressed",
    "is_pulled",
    "is_sheared",
    "load_library",
    "pack_list",
    "pack_page",
    "presses_down",
    "quantity",
    "rule_page",
    "sagging",
    "unsupported_length",
]
