"""What an author is told: faults with their places, dead parts, neighbours, and changes the examples do not notice."""

from __future__ import annotations

import pytest

from rules.library.dead_parts import dead_parts
from rules.library.expression_tree import tree_of
from rules.library.json_schemas import SHAPES, json_schema
from rules.library.linting import lint
from rules.library.loading import held_sources, readings_of
from rules.library.mutating import survivors
from rules.library.pack_words import MEANS
from rules.library.reading import PackSource, read_pack
from rules.library.skeleton import skeleton
from rules.library.trying import try_rule

RULE = """\
id: pitch
title: The pitch is usual
scope: design
severity: note
purpose: practice
why: It sheds water.
{lines}
message: "{{design.pitch_deg}} is unusual."
cite: {{clause: "1", seen: practice}}
examples:
  - {{name: usual, given: {{design.is_roof: true, design.pitch_deg: 35, design.span_mm: 6000, design.component_type: other}}, expect: pass}}
  - {{name: flat, given: {{design.is_roof: true, design.pitch_deg: 5, design.span_mm: 6000, design.component_type: other}}, expect: fail}}
  - {{name: a floor, given: {{design.is_roof: false, design.pitch_deg: 0, design.span_mm: 6000, design.component_type: other}}, expect: notApplicable}}
"""


@pytest.fixture
def linted(folder, head):
    """Lint a pack of one rule, given the lines that judge."""

    def run(lines: str, values: str = "", others=(), **more: str):
        files = {"pack.yaml": head(**more), "declared/pitch.yaml": RULE.format(lines=lines)}
        return lint(PackSource(folder("pack", files | ({"values.yaml": values} if values else {}))), others)

    return run


SOUND = "when: design.is_roof\nbecause: is no roof\nrequire: design.pitch_deg >= 15.0"


def test_a_sound_pack_has_no_faults(linted):
    assert linted(SOUND).faults == ()


@pytest.mark.parametrize(
    ("lines", "place", "said"),
    [
        (
            "when: design.is_roof && design.span_mm > design.pitch_deg\nbecause: x\nrequire: design.pitch_deg >= 15.0",
            (7, 40),
            "mm is compared with deg",
        ),
        (
            "when: design.is_roof\nbecause: x\ndemand: 15.0\nlimit: design.pitch_deg\nunit: mm",
            (10, 8),
            "this gives deg, and the rule is measured in mm",
        ),
        ("when: design.is_roof\nbecause: x\ndemand: 15.0\nlimit: design.pitch_deg\nunit: dog", (11, 7), "'dog' is no unit"),
        ("when: design.is_roof\nbecause: x\nrequire: 3.0 < 2.0 || design.pitch_deg >= 15.0", (9, 14), "always says the same"),
        (
            'when: design.is_roof\nbecause: x\nrequire: design.pitch_deg >= 15.0 || design.component_type == "truss"',
            (9, 63),
            'is never "truss"',
        ),
        (
            "when: design.is_roof\nbecause: x\nunless: design.span_mm < 100.0\nrequire: design.pitch_deg >= 15.0",
            (9, 9),
            "no example makes this true",
        ),
    ],
)
def test_a_fault_is_named_at_its_place(linted, lines, place, said):
    found = linted(lines)
    assert [(each.file, each.line, each.column) for each in found.faults] == [("declared/pitch.yaml", *place)], found.faults
    assert said in found.faults[0].message


def test_linting_twice_says_the_same(linted):
    lines = "when: design.is_roof\nbecause: x\ndemand: 15.0\nlimit: design.pitch_deg\nunit: mm"
    assert linted(lines).faults == linted(lines).faults


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('role == "web" && role == "post"', "cannot be"),
        ("x > 5.0 && x < 5.0", "no number fits"),
        ("x >= 5.0 && 4.0 > x", "no number fits"),
        ("x == 5.0 && x > 5.0", "no number fits"),
        ("x < x", "compared with itself"),
        ('role in ["web", "webs"]', "never"),
        ("true || x > 2.0", "always says the same"),
    ],
)
def test_dead_parts(text, said):
    assert any(said in fault.message for fault in dead_parts(tree_of(text), {"role": ("web", "post")}))


@pytest.mark.parametrize(
    "text",
    [
        'role == "web" || role == "post"',
        "x >= 5.0 && x <= 5.0",
        "x > 3.0 && x <= 5.0 && x >= 5.0",
        'name == "anything"',
        "x > 5.0 && y < 5.0",
        "x != 5.0 && x > 4.0",
    ],
)
def test_live_parts(text):
    assert list(dead_parts(tree_of(text), {"role": ("web", "post")})) == []


def _value(name: str, more: str = "") -> str:
    return f'- {{name: {name}, symbol: x, unit: "1", what: x, value: 0.9, cite: {{clause: "1", seen: practice}}{more}}}\n'


def test_a_number_no_rule_reads_is_pointed_at(linted):
    (advice,) = linted(SOUND, _value("lonely")).advice
    assert str(advice) == "values.yaml:1:10: no rule of the pack reads lonely"


def test_two_packs_that_replace_one_number(linted):
    held = readings_of(held_sources())
    same = linted(SOUND, _value("xi", ", overrides: eurocode-basis"), held, layer="national", builds_on="[eurocode-basis]", tradition="en")
    assert same.faults == ()
    assert any("uk-national replaces xi too" in each.message and "refused" in each.message for each in same.advice)


def test_the_later_layer_speaks(linted):
    later = linted(
        SOUND, _value("xi", ", overrides: eurocode-basis"), readings_of(held_sources()), builds_on="[eurocode-basis]", tradition="en"
    )
    assert any("the later layer speaks" in each.message for each in later.advice)


def test_elsewhere_there_is_no_conflict(linted):
    held = readings_of(held_sources())
    abroad = linted(
        SOUND, _value("xi", ", overrides: eurocode-basis"), held, layer="national", builds_on="[eurocode-basis]", regions="[FR]"
    )
    assert not any("uk-national" in each.message for each in abroad.advice)


def test_what_does_not_fit_the_others_is_a_fault(linted):
    faults = linted(SOUND, "", readings_of(held_sources()), builds_on="[lead-practice]").faults
    assert any("builds on lead-practice" in each.message for each in faults)


@pytest.mark.parametrize("source", held_sources(), ids=lambda source: source.folder.name)
def test_shipped_packs_lint_clean(source):
    others = readings_of(other for other in held_sources() if other.folder != source.folder)
    assert lint(source, others).faults == ()


class TestTrying:
    def test_an_unpinned_threshold_is_named(self, linted):
        (rule,) = linted(SOUND).reading.pack.declared
        tried = try_rule(rule)
        assert not tried.sound
        assert tried.far == ("design.pitch_deg >= 15.0",)
        assert any("moved to 15.02" in words for words in tried.unnoticed)
        assert any("turned to >" in words for words in tried.unnoticed)
        usual = next(each for each in tried.examples if each.name == "usual")
        assert (usual.nearest.share, usual.nearest.side) == (pytest.approx(20 / 35), "over")

    def test_survivors_and_noticed_make_all(self, linted):
        (rule,) = linted(SOUND).reading.pack.declared
        made, alive = survivors(rule)
        assert made > len(alive) > 0
        assert all(not mutant.noticed() for mutant in alive)


class TestSkeleton:
    FILES = skeleton("hill-practice", 'What "the hill" asks: all')

    def test_it_is_sound_and_pinned_down(self, folder):
        found = lint(PackSource(folder("hill", self.FILES)), readings_of(held_sources()))
        assert (found.faults, found.advice) == ((), ())
        assert found.reading.pack.title == 'What "the hill" asks: all'
        tried = [try_rule(rule) for rule in found.reading.pack.declared]
        assert all(each.sound and not each.far for each in tried)

    def test_its_schemas_lie_where_its_files_say(self, folder):
        place = folder("hill", self.FILES)
        for file in place.rglob("*.yaml"):
            named = file.read_text("utf-8").splitlines()[0].removeprefix("# yaml-language-server: $schema=")
            assert (file.parent / named).is_file(), file

    def test_schemas_are_no_part_of_the_pack(self, folder):
        whole = read_pack(PackSource(folder("hill", self.FILES))).pack.digest
        bare = {name: text for name, text in self.FILES.items() if not name.startswith(".")}
        assert read_pack(PackSource(folder("bare", bare))).pack.digest == whole

    def test_a_pack_handed_over_is_the_same_as_on_disk(self, folder):
        bare = {name: text for name, text in self.FILES.items() if not name.startswith(".")}
        handed = read_pack(PackSource(folder("bare", bare), files=bare)).pack
        assert handed.digest == read_pack(PackSource(folder("bare", bare))).pack.digest


@pytest.mark.parametrize("name", SHAPES)
def test_every_key_is_explained_to_editors(name):
    missing: list[str] = []

    def walk(told, at):
        for key, inner in told.get("properties", {}).items():
            if "above" not in told["properties"] and not inner.get("description"):
                missing.append(f"{at}.{key}")
            walk(inner, f"{at}.{key}")
        for step in ("items", "additionalProperties"):
            if isinstance(told.get(step), dict):
                walk(told[step], f"{at}[]")

    walk(json_schema(name), name)
    assert missing == []


def test_no_explanation_is_of_a_key_that_is_gone():
    from rules.library import pack_schemas

    for shape, name in MEANS:
        assert name in getattr(pack_schemas, shape)().fields, (shape, name)
