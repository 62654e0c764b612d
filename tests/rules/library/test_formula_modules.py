"""The Python of a pack: what joins it, and how a module that is wrong is told without stopping anything else."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from rules.library.loading import library_of
from rules.library.reading import PackSource, read_pack
from rules.library.testing import complaints
from rules.library.yaml_source import PackRefused

QUANTITIES = """
from rules.library import clause, quantity

@quantity("η", "1", cites=clause("1.2"))
def share(load, strength):
    return load / strength

@quantity("is loaded", "", says="a piece with a load")
def is_loaded(load):
    return load > 0.0
"""
FORMULA = """
from rules.library import MEMBER, STRENGTH, Rule, clause, quantity
from {package}.quantities.shares import is_loaded, share

RULE = Rule(slug="share", title="The load stays within the strength", scope=MEMBER, purpose=STRENGTH, demand=share, when=is_loaded,
            because="carries nothing", cites=clause("1.3"), message="{{element}}: {{percent}}.", why="It breaks.")
"""
CASES = """
- {name: half, given: {load: 1.0}, expect: {share: 0.5}, kind: pass, source: own}
- {name: too much, given: {load: 3.0}, expect: {share: 1.5}, kind: fail, source: own}
- {name: nothing, given: {load: 0.0}, kind: notApplicable, source: own}
- {name: not stated, given: {load: null}, kind: open, source: own}
"""
VALUES = '- {name: strength, symbol: f, unit: kN, what: strength, value: 2.0, cite: {clause: "1.1", seen: practice}}\n'


@pytest.fixture
def package(folder, head, monkeypatch, tmp_path, request) -> Callable[..., PackSource]:
    """An importable pack; keywords replace or add files (dots for slashes), None takes one out."""
    name = f"pack_{abs(hash(request.node.nodeid))}"

    def make(**changed: str | None) -> PackSource:
        files: dict[str, str | None] = {
            "pack.yaml": head(),
            "values.yaml": VALUES,
            "__init__.py": "",
            "quantities/__init__.py": "",
            "quantities/shares.py": QUANTITIES,
            "formulas/__init__.py": "",
            "formulas/share.py": FORMULA.format(package=name),
            "formulas/share.cases.yaml": CASES,
        }
        files |= {file.replace("__", "/").replace("_dot_", "."): text for file, text in changed.items()}
        where = folder(name, {file: text for file, text in files.items() if text is not None})
        monkeypatch.syspath_prepend(str(tmp_path))
        return PackSource(where, name)

    yield make
    for module in [each for each in sys.modules if each == name or each.startswith(f"{name}.")]:
        del sys.modules[module]


def faults(source: PackSource) -> list[str]:
    with pytest.raises(PackRefused) as refusal:
        read_pack(source)
    return [str(fault) for fault in refusal.value.faults]


def test_a_sound_pack(package):
    pack = read_pack(package()).pack
    assert [quantity.name for quantity in pack.quantities] == ["share", "is_loaded"]
    assert [rule.id for rule in pack.rules] == ["mill-practice/share"]
    assert len(pack.cases) == 4


def test_citations_are_completed_and_the_rule_uses_the_completed_quantities(package):
    pack = read_pack(package()).pack
    rule, share = pack.rules[0], pack.quantities[0]
    assert (rule.cites.document, rule.cites.edition, rule.cites.clause) == ("The mill's own book", "2026", "1.3")
    assert share.cites is not None
    assert share.cites.document == "The mill's own book"
    assert rule.demand is share


def test_its_cases_come_out(package):
    library = library_of([package()])
    assert list(complaints(library.pack("mill-practice"), library)) == []


@pytest.mark.parametrize(
    ("cases", "said"),
    [
        (CASES.replace("{share: 0.5}", "{share: 0.51}"), "formulas/share.cases.yaml: half: share comes out as 0.5, 0.51 is expected"),
        (CASES.replace("kind: pass", "kind: fail"), "formulas/share.cases.yaml: half: the rule says pass, fail is expected"),
        (
            CASES.replace("kind: notApplicable", "kind: pass"),
            "formulas/share.cases.yaml: nothing: the rule says notApplicable, pass is expected",
        ),
        (CASES.replace("load: null", "load: 1.0"), "formulas/share.cases.yaml: not stated: the rule says pass, open is expected"),
        ("".join(CASES.splitlines(keepends=True)[:2]), "share: no case shows fail"),
        ("".join(CASES.splitlines(keepends=True)[:2]), "share: no case shows notApplicable"),
    ],
)
def test_a_case_that_does_not_come_out_is_a_complaint(package, cases, said):
    library = library_of([package(**{"formulas__share.cases.yaml": cases})])
    assert said in list(complaints(library.pack("mill-practice"), library))


@pytest.mark.parametrize(
    ("file", "text", "said"),
    [
        (
            "quantities/more.py",
            "x = 1\ny = 1 / 0\n",
            "quantities/more.py:2:1: the module cannot be imported: ZeroDivisionError: division by zero",
        ),
        ("quantities/more.py", "import nowhere_at_all\n", "quantities/more.py:1:1: the module cannot be imported: ModuleNotFoundError"),
        ("quantities/more.py", "x = 1\ndef (:\n", "quantities/more.py:2:1: the module cannot be imported: SyntaxError"),
        ("quantities/more.py", QUANTITIES, "quantities/shares.py:4:1: the quantity share is defined twice"),
        ("formulas/more.py", "RULE = 'a rule'\n", "formulas/more.py:1:1: RULE is a str, not a Rule"),
        ("formulas/share.cases.yaml", None, "formulas:0:0: no case shows the rule share (write formulas/share.cases.yaml)"),
        ("formulas/other.cases.yaml", CASES, "formulas/other.cases.yaml:2:1: there is no formula rule other for the case 'half'"),
        ("formulas/share.cases.yaml", CASES.replace("kind: pass", "kind: maybe"), "formulas/share.cases.yaml:2:64: 'maybe' is none of"),
        (
            "formulas/share.cases.yaml",
            CASES.replace("name: too much", "name: half"),
            "formulas/share.cases.yaml:3:10: two cases are called 'half'",
        ),
        ("combine.py", "x = 1\n", "combine.py:1:1: combine.py holds no function called combine"),
        ("derive.py", "x = 1\n", "derive.py:1:1: derive.py holds no function called derive"),
        ("values.yaml", VALUES.replace("name: strength", "name: share"), "values.yaml:1:10: share is the name of a quantity too"),
    ],
)
def test_what_is_wrong_is_told(package, file, text, said):
    told = faults(package(**{file.replace("/", "__"): text}))
    assert any(each.startswith(said) for each in told), told


def test_two_rules_of_one_name(package):
    source = package(**{"formulas__again.py": "from .share import RULE\n"})
    assert "formulas:0:0: two rules are called share" in faults(source)


def test_a_combining_function_is_found(package):
    derive = "from rules.library import Derived\n\n\ndef derive(design, known):\n    return Derived()\n"
    pack = read_pack(package(**{"combine.py": "def combine(actions, values):\n    return {}\n", "derive.py": derive})).pack
    assert pack.derive is not None
    assert pack.derive(None, None).derivations == ()
    assert pack.combine is not None
    assert pack.combine((), {}) == {}


def test_a_quantity_imported_from_another_module_joins_once(package):
    source = package(**{"quantities__more.py": "from .shares import share\n"})
    assert [quantity.name for quantity in read_pack(source).pack.quantities] == ["share", "is_loaded"]


def test_what_every_tradition_shares_joins_the_pack_that_imports_it_and_once(package):
    taken = "from rules.library import is_pulled\n\n__all__ = ['is_pulled']\n"
    source = package(**{"quantities__acting.py": taken, "quantities__again.py": taken})
    assert sorted(quantity.name for quantity in read_pack(source).pack.quantities) == ["is_loaded", "is_pulled", "share"]


def test_the_folder_is_the_one_that_is_imported(package):
    source = package()
    read_pack(source)
    module = sys.modules[f"{source.package}.quantities.shares"]
    assert Path(str(module.__file__)).parent.parent == source.folder
