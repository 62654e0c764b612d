"""Packs asked for by name: id, id==edition or id==edition@release."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterable, Sequence

from rules.library.loading import Library
from rules.library.pack import Pack
from rules.subject.faults import Fault, pointer


def in_force(pack: Pack, day: datetime.date) -> bool:
    """Whether the pack's edition holds on that day."""
    return (pack.starts is None or pack.starts <= day) and (pack.ends is None or day < pack.ends)


PIN = re.compile(r"^(?P<id>[^=@]+?)(?:==(?P<edition>[^@]+)(?:@(?P<release>.+))?)?$")


def id_of(pin: str) -> str:
    """The id a pin names."""
    return pin.partition("==")[0]


def wrong_pin(library: Library, i: int, pin: str) -> Iterable[Fault]:
    """What is wrong with the i-th pin of codes.packs: not readable, not known, or not held in that edition or release."""
    at = pointer("codes", "packs", i)
    parts = PIN.match(pin)
    if parts is None:
        yield Fault(
            at,
            "unreadable-pin",
            "A pack is named by its id, id==edition or id==edition@release",
            pin,
            None,
            "Write it like eurocode-timber.",
        )
    elif not library.holds(parts["id"]):
        broken = any(each.name in (parts["id"], parts["id"].replace("-", "_")) for each in library.broken)
        said = f"The pack {parts['id']} is here but cannot be used" if broken else f"There is no pack called {parts['id']}"
        yield Fault(at, "unknown-pack", said, pin, [pack.id for pack in library.packs], "Name one of the packs held, or leave `packs` out.")
    else:
        held = library.pack(parts["id"])
        if (parts["edition"] or held.edition) != held.edition or (parts["release"] or held.release) != held.release:
            yield Fault(at, "pack-not-held", f"{pin} is not held here", pin, [held.pin], f"Held: {held.pin}.")


def out_of_force(library: Library, asked: Sequence[str], as_of: datetime.date) -> Iterable[Fault]:
    """A pack out of force must be pinned by its edition, so that nobody gets it unawares."""
    for i, pin in enumerate(asked):
        pack = library.pack(id_of(pin))
        if not in_force(pack, as_of) and "==" not in pin:
            said = f"{pack.id} {pack.edition} is not in force on {as_of}"
            yield Fault(
                pointer("codes", "packs", i),
                "pack-not-in-force",
                said,
                pin,
                [pack.pin],
                f"To use it all the same, write {pack.id}=={pack.edition}.",
            )
