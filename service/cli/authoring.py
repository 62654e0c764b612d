"""`birdsmouth packs new|lint|test|schema`: the tools of those who write rules."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

from service.cli.trouble import Trouble

if TYPE_CHECKING:
    from rules.library.linting import Lint
    from rules.library.trying import Nearness, TriedRule

IN_ORDER, FINDINGS = 0, 1
WORDS = ("pack", "values", "materials", "declared", "clauses", "cases")


def add(which: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Put the commands on the command line."""
    making = command(which, "new", "write a new pack that works, to be changed", run_new)
    making.add_argument("folder", metavar="DIR", type=Path, help="folder to make; it must not hold anything yet")
    making.add_argument("--id", required=True, help="id of the pack: lower-case words joined by hyphens")
    making.add_argument("--title", required=True, help="one line for people")
    for name, run, says in (
        ("lint", run_lint, "all that is wrong with a pack, alone and beside the others"),
        ("test", run_test, "what the examples of a pack are worth: near the thresholds, and changes none of them notices"),
    ):
        words = command(which, name, says, run)
        words.add_argument("folder", metavar="DIR", type=Path, help="folder of the pack")
        words.add_argument(
            "--packs", metavar="DIR", type=Path, help="a folder of declared packs to hold it against besides those there are"
        )
        words.add_argument("--format", choices=("text", "json"), default="text", help="text to read (the default), or JSON")
    showing = command(which, "schema", "the JSON Schema of one kind of pack file, for editors", run_schema)
    showing.add_argument("name", choices=WORDS, help="the kind of file")


def command(
    which: argparse._SubParsersAction[argparse.ArgumentParser], name: str, says: str, run: Callable[[argparse.Namespace], int]
) -> argparse.ArgumentParser:
    """A command below `packs`; its own help begins with what the list of commands says of it."""
    words = which.add_parser(name, help=says, description=f"{says[0].upper()}{says[1:]}.", allow_abbrev=False)
    words.set_defaults(run=run)
    return words


def run_new(given: argparse.Namespace) -> int:
    """Write the skeleton; Trouble where something is there already, or the id is no id."""
    from rules.library.pack_schemas import SLUG
    from rules.library.skeleton import skeleton

    folder: Path = given.folder
    if not SLUG.match(given.id):
        raise Trouble(f"{given.id!r} is no id; write lower-case words joined by hyphens, such as hillside-practice.")
    if not given.title.strip():
        raise Trouble("the title is empty; say in a line what the pack is.")
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise Trouble(f"{folder} is there already and not empty; nothing was written.")
    files = skeleton(given.id, given.title.strip())
    try:
        for name, text in files.items():
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            (folder / name).write_text(text, encoding="utf-8")
    except OSError as error:
        raise Trouble(f"cannot write {folder}: {error.strerror or error}") from None
    shown = "".join(f"  {folder / name}\n" for name in files if not name.startswith("."))
    sys.stdout.write(f"Written:\n{shown}Next: birdsmouth packs test {folder}\n")
    return IN_ORDER


def run_lint(given: argparse.Namespace) -> int:
    """Print every fault with its place, then what the author should know; 1 when there is a fault."""
    found = _lint(given)
    _print(_linted(found, given.folder) if given.format == "text" else [json.dumps(found.plain(), ensure_ascii=False)])
    return FINDINGS if found.faults else IN_ORDER


def run_test(given: argparse.Namespace) -> int:
    """Print what the examples are worth; 1 when one does not hold or a change goes unnoticed."""
    from rules.library.trying import try_rule

    found = _lint(given)
    if found.reading is None or found.faults:
        _print(_linted(found, given.folder) if given.format == "text" else [json.dumps({**found.plain(), "rules": []}, ensure_ascii=False)])
        return FINDINGS
    pack = found.reading.pack
    tried = [try_rule(rule) for rule in pack.declared]
    said = _formulas(found, given)
    if given.format == "json":
        _print([json.dumps({**found.plain(), "rules": [each.plain() for each in tried], "formulas": said}, ensure_ascii=False)])
    else:
        _print(_tried(tried, said, len(pack.rules)))
    return IN_ORDER if all(each.sound for each in tried) and not said else FINDINGS


def run_schema(given: argparse.Namespace) -> int:
    """Print one schema."""
    from rules.library.json_schemas import written

    sys.stdout.write(written(given.name))
    return IN_ORDER


def _lint(given: argparse.Namespace) -> Lint:
    from rules.library.linting import lint
    from rules.library.loading import held_sources, readings_of
    from rules.library.reading import PackSource
    from service.cli.here import read_settings

    folder: Path = given.folder
    if not folder.is_dir():
        raise Trouble(f"{folder} is no folder.")
    held = held_sources(read_settings(given.packs).packs)
    own = next((source for source in held if source.folder.resolve() == folder.resolve()), PackSource(folder, None, "mounted"))
    return lint(own, readings_of(source for source in held if source is not own))


def _formulas(found: Lint, given: argparse.Namespace) -> list[str]:
    """What the cases of formula rules complain of; such a pack is installed, so it is in the library."""
    from rules.library.testing import complaints
    from service.cli.here import read_packs, read_settings

    if found.reading is None or not found.reading.pack.rules:
        return []
    library = read_packs(read_settings(given.packs))
    return list(complaints(library.pack(found.reading.pack.id), library))


def _linted(found: Lint, folder: Path) -> Iterator[str]:
    for fault in found.faults:
        yield f"{folder}/{fault}"
    for fault in found.advice:
        yield f"{folder}/{fault} [advice]"
    pack = found.reading.pack if found.reading else None
    said = f"{len(found.faults)} fault{'s' if len(found.faults) != 1 else ''}, {len(found.advice)} to know of"
    yield f"{pack.pin}: {said}" if pack else said


def _tried(tried: list[TriedRule], said: list[str], formulas: int) -> Iterator[str]:
    for rule in tried:
        yield f" {rule.slug}: {rule.title}"
        for each in rule.examples:
            shown = _near(each.nearest)
            yield f"   {'ok ' if not each.differs else 'NO '} {each.expect:<13} {each.name:<42} {shown}"
            if each.differs:
                yield f"       {each.differs}"
        yield from (f"   no example expects {kind}" for kind in rule.missing)
        yield from (f"   no example comes near {words}" for words in rule.far)
        yield f"   {rule.mutants} small changes, {rule.mutants - len(rule.unnoticed)} noticed"
        yield from (f"   UNNOTICED {words}" for words in rule.unnoticed)
        yield ""
    if formulas:
        yield f" {formulas} formula rules: " + ("all their cases come out" if not said else f"{len(said)} complaints")
        yield from (f"   {each}" for each in said)
    mutants, alive = sum(each.mutants for each in tried), sum(len(each.unnoticed) for each in tried)
    score = f"{mutants - alive} of {mutants} small changes noticed" if mutants else "nothing declared"
    yield f" {sum(each.sound for each in tried)} of {len(tried)} declared rules pinned down; {score}"


def _near(nearest: Nearness | None) -> str:
    if nearest is None:
        return "no threshold"
    return f"at {nearest.threshold}" if nearest.side == "at" else f"{100.0 * nearest.share:.3g} % {nearest.side} {nearest.threshold}"


def _print(lines: Iterable[Any]) -> None:
    sys.stdout.write("".join(f"{line}\n" for line in lines))
