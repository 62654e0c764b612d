"""Wind on flat roofs, EN 1991-1-4 7.2.3: corners and edges are sucked up, what lies far behind the windward edge is sucked or pressed."""

from __future__ import annotations

from rules.library import Derived, Doubt, Given, Known
from rules.packs.eurocode_basis.loads.wind_zones import Strip, WindOn, laid_out, parted
from rules.subject.design import Design
from rules.subject.settled import Assumption


def flat_across(wind: WindOn, side: str) -> tuple[Strip, ...]:
    """From the windward edge: F or G to e/10, H to e/2, I behind."""
    low, high = wind.form.extent
    near, middle = (wind.across * wind.known.number(share) for share in ("strip", "flat_h_reach"))
    return tuple(parted(wind, side, [(wind.eave_zone, near), ("H", middle), ("I", high - low)], 0.0))


def flat_along(wind: WindOn) -> tuple[Strip, ...]:
    """Next to the windward gable the corners F with G between; else H from end to end."""
    low, high = wind.form.extent
    if wind.inner:
        return (laid_out("H", low, high, 0.0),)
    corner = min(wind.along * wind.known.number("corner"), (high - low) / 2.0)
    parts = (
        laid_out("F", low, low + corner, 0.0),
        laid_out("G", low + corner, high - corner, 0.0),
        laid_out("F", high - corner, high, 0.0),
    )
    return tuple(part for part in parts if part.high > part.low)


def flat_behind(wind: WindOn) -> tuple[Strip, ...]:
    """Far from the windward gable, I from end to end."""
    low, high = wind.form.extent
    return (laid_out("I", low, high, 0.0),)


def flat_coefficient(wind: WindOn, zone: str, sign: str, side: str | None) -> Given:
    """c_pe of a zone. side: whose edge the wind meets first, None at a gable, whose parapet nobody states."""
    ratio = 0.0 if side is None else _ratio(wind, wind.parapets.get(side, 0.0))
    found = wind.known.between("c_pe_flat", zone, sign if zone == "I" else "lifting", ratio)
    assert found is not None, "the table reaches from no parapet to the highest that counts"
    return found._replace(name="c_pe")


def _ratio(wind: WindOn, ratio: float) -> float:
    """Between the rows of the table; a parapet lower than its lowest counts for nothing, one higher for no more than its highest."""
    return 0.0 if ratio < wind.known.number("parapet_from") else min(ratio, wind.known.number("parapet_full"))


def flat_notes(design: Design, known: Known) -> Derived:
    """What is taken of its edges, and where the country has coefficients of its own that are not held."""
    doubts, taken = list[Doubt](), list[Assumption]()
    if known.number("flat_coefficients_held") == 0.0:
        message = "The wind is worked out with the recommended coefficients of flat roofs; the country's own annex has others, which are not held."
        ask = "What is the wind on this flat roof by the national annex? Give the wind cases under actions."
        doubts.append(Doubt("wind-flat", "open", message, ask, "/actions"))
    if design.roof and not design.roof.parapets:
        because = "The edges of the flat roof are taken as sharp; rounded edges and those that slope steeply have other coefficients."
        taken.append(Assumption("/roof/parapets", "none", because, "designer"))
    return Derived(doubts=tuple(doubts), assumptions=tuple(taken))
