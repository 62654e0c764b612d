"""`birdsmouth packs`: which rules there are, in which edition, and what they leave out; and the tools of those who write them."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from service.cli import authoring
from service.cli.trouble import Trouble
from service.formats.layout import table


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Put the command on the command line."""
    words = commands.add_parser("packs", help="list and show rule packs, and write your own", description=__doc__, allow_abbrev=False)
    which = words.add_subparsers(title="what", metavar="list|show|new|lint|test|schema", required=True)
    listing = authoring.command(which, "list", "every rule pack there is", run_list)
    showing = authoring.command(which, "show", "one rule pack, or one of its rules in full", run_show)
    showing.add_argument("id", metavar="ID[/RULE]", help="id of the pack, as the list names it; with /RULE: that rule in full")
    showing.add_argument("--clauses", action="store_true", help="its document by clause: judged, not applicable because, not implemented")
    for each in (listing, showing):
        each.add_argument("--packs", metavar="DIR", type=Path, help="a folder of declared packs to read besides those there are")
    authoring.add(which)


def run_list(given: argparse.Namespace) -> int:
    """Print one line a pack."""
    from rules.library.catalogue import pack_list
    from service.cli.here import read_packs, read_settings

    library = read_packs(read_settings(given.packs))
    rows = [(_text(pack, "id"), _text(pack, "edition"), _text(pack, "release"), _text(pack, "title")) for pack in pack_list(library)]
    _print(table(("pack", "edition", "release", "title"), (26, 16, 9, 42), rows))
    return 0


def run_show(given: argparse.Namespace) -> int:
    """Print one pack, its clauses or one rule; Trouble when there is none of that name."""
    from rules.library.catalogue import pack_page, rule_page
    from service.cli.here import read_packs, read_settings
    from service.cli.rule_pages import clause_lines, pack_lines, rule_lines

    library = read_packs(read_settings(given.packs))
    id, _, rule = given.id.partition("/")
    if not library.holds(id):
        raise Trouble(f"there is no rule pack {id!r}. There are: {', '.join(pack.id for pack in library.packs)}.")
    page = pack_page(library, id)
    if not rule:
        _print(clause_lines(page) if given.clauses else pack_lines(page))
        return 0
    try:
        _print(rule_lines(rule_page(library, id, rule)))
    except KeyError:
        known = ", ".join(dict.fromkeys(each["slug"] for each in page["rules"])) or "none"
        raise Trouble(f"the pack {id} has no rule {rule!r}. Its rules: {known}.") from None
    return 0


def _text(values: Mapping[str, Any], name: str) -> str:
    value = values.get(name)
    return "" if value is None else str(value)


def _print(lines: Iterator[str]) -> None:
    sys.stdout.write("".join(f"{line}\n" for line in lines))
