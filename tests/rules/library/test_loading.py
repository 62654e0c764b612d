"""A library of packs: each in its own guard, each held against the others, and none that is required may be missing."""

from __future__ import annotations

from collections.abc import Callable

import pluggy
import pytest

from rules.library import hooks
from rules.library.hooks import found_packs, hookimpl, packs_of
from rules.library.loading import LibraryRefused, library_of, load_library
from rules.library.reading import PackSource, read_pack

VALUE = '- {name: NAME, symbol: x, unit: UNIT, what: a number, value: 1.0, cite: {clause: "1", seen: practice}}\n'


def value(name: str, unit: str = "mm", more: str = "") -> str:
    return VALUE.replace("NAME", name).replace("UNIT", unit).replace("}}\n", f"}}{more}}}\n")


@pytest.fixture
def pack(folder, head) -> Callable[..., PackSource]:
    """A pack folder of this id; values is its values.yaml, keywords are lines of pack.yaml."""

    def make(id: str, values: str = "", **lines: str) -> PackSource:
        files = {"pack.yaml": head(id=id, **lines)} | ({"values.yaml": values} if values else {})
        return PackSource(folder(id, files), None, "mounted")

    return make


def said(broken) -> list[str]:
    return [f"{each.name}/{fault}" for each in broken for fault in each.faults]


def test_a_broken_pack_does_not_stop_the_others(pack):
    library = library_of([pack("one"), pack("two", layer="whim"), pack("three")])
    assert [each.id for each in library.packs] == ["one", "three"]
    assert said(library.broken) == ["two/pack.yaml:3:8: 'whim' is none of code, grades, national, region, practice"]
    assert not library.holds("two")


def test_a_broken_required_pack_stops_the_start(pack):
    with pytest.raises(LibraryRefused, match=r"a required rule pack cannot be used:\ntwo/pack\.yaml:3:8: 'whim'"):
        library_of([pack("one"), pack("two", layer="whim", required="true")])


@pytest.mark.parametrize(("text", "required"), [("", True), ("id: [", True), ("required: false\n", False), ("id: x\n", False)])
def test_a_shipped_pack_too_broken_to_say_whether_it_is_required_is(folder, text, required):
    source = PackSource(folder("one", {"pack.yaml": text}), None, "shipped")
    if required:
        with pytest.raises(LibraryRefused):
            library_of([source])
    else:
        assert [each.name for each in library_of([source]).broken] == ["one"]


def test_two_packs_of_one_id(pack, folder, head):
    again = PackSource(folder("elsewhere", {"pack.yaml": head(id="one")}), None, "mounted")
    library = library_of([pack("one"), again])
    assert [each.id for each in library.packs] == ["one"]
    assert said(library.broken) == ["one/pack.yaml:1:5: there is already a pack called one (choose another id)"]


def test_building_on_what_is_not_there(pack):
    library = library_of([pack("one", builds_on="[nobody]"), pack("two", builds_on="[one]")])
    assert library.packs == ()
    assert said(library.broken) == [
        "one/pack.yaml:9:13: it builds on nobody, and there is no such pack (held: one, two)",
        "two/pack.yaml:9:13: it builds on one, and there is no such pack (held: two)",
    ]


def test_building_in_a_circle(pack):
    library = library_of([pack("one", builds_on="[two]"), pack("two", builds_on="[one]")])
    assert library.packs == ()
    assert all("it builds on itself" in each for each in said(library.broken))


def test_overrides(pack):
    base = pack("base", value("gap"))
    sound = pack("over", value("gap", more=", overrides: base"), builds_on="[base]")
    library = library_of([base, sound])
    assert library.broken == ()
    assert library.pack("over").values[0].overrides == "base"


@pytest.mark.parametrize(
    ("values", "builds_on", "fault"),
    [
        (value("gaap", more=", overrides: base"), "[base]", "values.yaml:1:113: base declares no gaap (it declares gap)"),
        (
            value("gap", more=", overrides: base"),
            "[]",
            "values.yaml:1:112: gap overrides a number of base, which this pack does not build on",
        ),
        (value("gap", more=", overrides: nobody"), "[base]", "values.yaml:1:112: gap overrides a number of nobody"),
        (value("gap", "m", more=", overrides: base"), "[base]", "values.yaml:1:32: gap is in 'mm' in base, not in 'm'"),
        (value("gap"), "[base]", "values.yaml:1:10: gap already means something in base (add `overrides`, or choose another name)"),
    ],
)
def test_an_override_that_does_not_fit(pack, values, builds_on, fault):
    library = library_of([pack("base", value("gap")), pack("over", values, builds_on=builds_on)])
    assert [each.id for each in library.packs] == ["base"]
    assert len(library.broken) == 1
    assert said(library.broken)[0].startswith(f"over/{fault}")


def test_one_name_may_mean_two_things_in_two_traditions(pack):
    one, two = pack("one", value("gap"), tradition="en"), pack("two", value("gap"), tradition="nds")
    assert library_of([one, two]).broken == ()
    assert said(library_of([pack("one", value("gap"), tradition="en"), pack("three", value("gap"))]).broken)


def test_a_mounted_folder_of_packs(pack, tmp_path, head, folder):
    pack("one")
    folder(".hidden", {"pack.yaml": head(id="hidden")})
    library = load_library(tmp_path)
    assert library.pack("one").origin == "mounted"
    assert library.holds("eurocode-timber")
    assert not library.holds("hidden")
    assert library.broken == ()


def test_a_mounted_folder_that_is_one_pack(pack):
    assert load_library(pack("one").folder).holds("one")


def test_python_in_a_mounted_pack_is_refused_and_never_run(folder, head, tmp_path):
    trap = f"open({str(tmp_path / 'ran')!r}, 'w')\n"
    folder("one", {"pack.yaml": head(id="one"), "formulas/trap.py": trap, "combine.py": trap})
    library = load_library(tmp_path)
    assert [fault.file for fault in library.broken[0].faults] == ["combine.py", "formulas/trap.py"]
    assert not library.holds("one")
    assert not (tmp_path / "ran").exists()


@pytest.mark.parametrize(("link", "target"), [("values.yaml", "secret.yaml"), ("declared", "secrets")])
def test_a_link_is_not_followed(pack, tmp_path, link, target):
    source = pack("one")
    (tmp_path / "secrets").mkdir()
    for secret in ("secret.yaml", "secrets/secret.yaml"):
        (tmp_path / secret).write_text("hidden: word\n", encoding="utf-8")
    (source.folder / link).symlink_to(tmp_path / target)
    told = said(library_of([source]).broken)
    assert told == [f"one/{link}:0:0: a link is not followed (put what it points to here)"]


def test_a_mounted_folder_that_is_not_there(tmp_path):
    with pytest.raises(FileNotFoundError):
        load_library(tmp_path / "nowhere")


def test_the_shipped_packs_are_all_there():
    library = load_library()
    assert library.broken == ()
    assert {pack.id for pack in library.packs} >= {
        "eurocode-basis",
        "eurocode-timber",
        "grades-en",
        "uk-national",
        "england-house-longhorn",
        "workshop-practice",
    }
    assert {pack.id for pack in library.packs if pack.required} == {"eurocode-basis", "eurocode-timber", "grades-en", "uk-national"}


def test_what_a_pack_builds_on_comes_with_who_brought_it(pack):
    library = library_of([pack("a"), pack("b", builds_on="[a]"), pack("c", builds_on="[b]")])
    assert library.closure(["c"]) == {"c": None, "b": "c", "a": "b"}


class TestDigest:
    def test_holds_names_and_bytes_and_nothing_else(self, pack):
        source = pack("one")
        before = source.digest()
        (source.folder / "__pycache__").mkdir()
        (source.folder / "__pycache__" / "x.pyc").write_bytes(b"1")
        assert source.digest() == before == read_pack(source).pack.digest
        (source.folder / "README.md").write_text("a", encoding="utf-8")
        named = source.digest()
        (source.folder / "README.md").rename(source.folder / "LIESMICH.md")
        assert len({before, named, source.digest()}) == 3

    def test_cannot_be_fooled_by_moving_bytes_between_name_and_content(self, folder):
        one = folder("one", {"pack.yaml": "x", "ab": "c"})
        two = folder("two", {"pack.yaml": "x", "a": "bc"})
        assert PackSource(one).digest() != PackSource(two).digest()


class Entry:
    """Stands for an entry point."""

    def __init__(self, name, plugin):
        self.name, self.value, self.plugin = name, name, plugin

    def load(self):
        if isinstance(self.plugin, Exception):
            raise self.plugin
        return self.plugin


class Sound:
    def __init__(self, *sources):
        self.sources = sources

    @hookimpl
    def birdsmouth_packs(self):
        return list(self.sources)


class Raising:
    @hookimpl
    def birdsmouth_packs(self):
        raise RuntimeError("no disk")


class Strange:
    @hookimpl
    def birdsmouth_packs(self):
        return ["a folder"]


class Curious:
    @hookimpl
    def birdsmouth_packs(self, designs):
        return designs


class Misspelled:
    @hookimpl
    def birdsmouth_pack(self):
        return []


@pytest.mark.parametrize(
    ("plugin", "message"),
    [
        (ImportError("no module"), "ImportError: no module"),
        (Raising(), "RuntimeError: no disk"),
        (Strange(), "TypeError: birdsmouth_packs gave a str, not a PackSource"),
        (Curious(), "PluginValidationError"),
        (Misspelled(), "PluginValidationError"),
        (object(), "TypeError: it has no birdsmouth_packs marked with hookimpl"),
    ],
)
def test_a_plug_in_that_fails_is_listed_and_the_rest_go_on(monkeypatch, pack, plugin, message):
    entries = [Entry("a-bad-one", plugin), Entry("b-good-one", Sound(pack("one")))]
    monkeypatch.setattr(hooks, "entry_points", lambda group: entries if group == "birdsmouth" else [])
    library = load_library()
    assert [each.id for each in library.packs] == ["one"]
    assert [(each.name, each.required) for each in library.broken] == [("a-bad-one", False)]
    assert message in library.broken[0].faults[0].message


def test_shipped_packs_that_cannot_be_found_stop_the_start(monkeypatch):
    monkeypatch.setattr(hooks, "entry_points", lambda group: [Entry("shipped", ImportError(group))])
    with pytest.raises(LibraryRefused, match="shipped"):
        load_library()


def test_plug_ins_come_in_the_order_of_their_names(monkeypatch):
    entries = [Entry(name, Sound()) for name in "cab"]
    monkeypatch.setattr(hooks, "entry_points", lambda **_: entries)
    assert [name for name, _ in found_packs()] == ["a", "b", "c"]


def test_no_plug_in_manager_is_kept():
    assert not [name for name, each in vars(hooks).items() if isinstance(each, pluggy.PluginManager)]
    assert packs_of(Sound()) == []
