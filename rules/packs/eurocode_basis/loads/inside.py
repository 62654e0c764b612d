"""The pressure inside the building, EN 1991-1-4 7.2.9: with no face more open than the others, or with one that stands open in a gale.

Where one does, the pressure inside is a share of that outside the opening: which way the wind comes is not known, so the opening is
taken in the windward wall for what blows the roof up, and at the corner of a side wall for what sucks it down.
"""

from __future__ import annotations

from collections.abc import Iterator

from rules.library import Doubt, Given, Known
from rules.subject.site import Roof


def inside(roof: Roof | None, known: Known) -> dict[str, Given]:
    """c_pi by what it does to the roof: "blown" up, or "sucked" down."""
    if dominant(roof, known):
        assert roof is not None
        most = known.number("dominant_full")
        share = known.between("dominant_share", min(roof.opening_times_others or most, most))
        assert share is not None
        return {"blown": _share(share, known, "c_under_eaves"), "sucked": _share(share, known, "c_side_wall")}
    return {"blown": _given(known, "c_pi_most"), "sucked": _given(known, "c_pi_least")}


def dominant(roof: Roof | None, known: Known) -> bool:
    """Whether a face stands open; where nobody says how far it outweighs the others, as far as the code goes."""
    if roof is None or roof.openings != "dominant":
        return False
    return roof.opening_times_others is None or roof.opening_times_others >= known.number("dominant_from")


def below_eaves(known: Known) -> Given:
    """Under a windward overhang stands the pressure of the wall below."""
    return _given(known, "c_under_eaves")


def _given(known: Known, name: str) -> Given:
    value = known.values[name]
    return Given("c_pi", value.symbol, value.unit, value.what, known.number(name), number=value)


def _share(share: Given, known: Known, name: str) -> Given:
    outside = known.number(name)
    what = f"{share.value:.4g} of the {outside:+.4g} outside the opening: {known.values[name].what}"
    return Given("c_pi", "c_pi", "1", what, share.value * outside, number=share.number)


def inside_doubts(roof: Roof | None, known: Known) -> Iterator[Doubt]:
    """What must be known of an opening that outweighs the others."""
    if roof is None or roof.openings != "dominant":
        return
    if roof.opening_times_others is None:
        message = "A face of the building may stand open in a gale; the pressure inside is taken as if it were three times as open as all the others."
        ask = "How many times the openings of all other faces is the one that may stand open? (roof.opening_times_others)"
        yield Doubt("wind-openings", "open", message, ask, "/roof/opening_times_others")
    elif roof.opening_times_others < known.number("dominant_from"):
        message = f"An opening of {roof.opening_times_others:g} times the others is not dominant by the code; the pressure inside is taken as without it."
        ask = "An engineer must say whether that is enough, from the area of all openings."
        yield Doubt("wind-openings", "review", message, ask, "/roof/opening_times_others")
