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
    words = commands.add_parser("packs", help="list rule packs, or show one", description=__doc__, allow_abbrev=False)
    which = words.add_subparsers(title="what", metavar="list|show|new|lint|test|schema", required=True)
    listing = which.add_parser("list", help="every rule pack there is", allow_abbrev=False)
    listing.set_defaults(run=run_list)
    showing = which.add_parser("show", help="one rule pack: its rules and what it does not cover", allow_abbrev=False)
    showing.add_argument("id", metavar="ID", help="id of the pack, as the list names it")
    showing.set_defaults(run=run_show)
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
    """Print one pack; Trouble when there is none of that id."""
    from rules.library.catalogue import pack_list, pack_page
    from service.cli.here import read_packs, read_settings

    library = read_packs(read_settings(given.packs))
    try:
        page = pack_page(library, given.id)
    except KeyError:
        known = ", ".join(_text(pack, "id") for pack in pack_list(library))
        raise Trouble(f"there is no rule pack {given.id!r}. There are: {known}.") from None
    _print(_shown(page))
    return 0


def _shown(page: Mapping[str, Any]) -> Iterator[str]:
    yield f" {_text(page, 'id')}: {_text(page, 'title')}"
    for name in ("document", "edition", "release", "tradition", "digest"):
        if page.get(name):
            yield f"   {name:<10} {_text(page, name)}"
    yield ""
    rows = [(_text(rule, "slug") or _text(rule, "id"), _text(rule, "title")) for rule in page.get("rules") or []]
    if rows:
        yield from table(("rule", "what it asks"), (38, 58), rows)
    else:
        yield " No rules of its own: it gives values or grades to other packs."
    missing = page.get("not_covered") or []
    if missing:
        yield ""
        yield " Does not cover:"
        yield from (f"   · {item}" for item in missing)


def _text(values: Mapping[str, Any], name: str) -> str:
    value = values.get(name)
    return "" if value is None else str(value)


def _print(lines: Iterator[str]) -> None:
    sys.stdout.write("".join(f"{line}\n" for line in lines))
