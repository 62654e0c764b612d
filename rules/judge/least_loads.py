"""Loads and figures the design states itself, held against what the code in force takes for that use and what the site it tells of brings.

A load typed in by hand does not follow when the spacing, the use or the site is changed after it. Why less was meant no document tells, so
a person looks at what is less; never a fail. Loads worked out from the packs' own figures are never less.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

import solver
from rules.judge.forgotten import answers
from rules.judge.framed import Frame
from rules.judge.judgement import EngineRule, Judgement
from rules.judge.mechanics import KN, load_of
from rules.library import Known
from rules.library.choosing import Selection
from rules.library.pack import Expected
from rules.library.rule import Kind
from rules.library.value import Value
from rules.subject.actions import Action, LineLoad, NodeLoad, PointLoad
from rules.subject.design import ROOF_TYPES, Design
from rules.subject.loading import Loading

LEAST = EngineRule(
    "loads-against-site-and-use",
    "The loads stated are no less than use and site bring",
    "A load typed in by hand stays as it was when spacing, use or site are changed after it.",
)
FIGURES = {
    "imposed-area": "imposed_area", "imposed-point": "imposed_point", "ceiling-imposed-area": "loft_area", "ceiling-imposed-person": "loft_person",
}  # fmt: skip
"""Of what is expected: the value of a code pack that says how much."""
SITED = {"snow": "snow", "roof-imposed": "maintenance load"}
"""Natures a pack derives from roof and site alone, each in words."""
ROUNDED, ENOUGH = 0.98, 0.8
"""Shares below which a person is asked: of a figure of the code, which was rounded at most; of what is worked out from the site, of which an
engineer may have known better. Common practice, no published source."""
AIR = "rho_air"
GUSTLESS = 0.9
"""Share of the pressure of a steady wind that the fiercest suction on a roof always reaches. Common practice, no published source."""


def least_loads(frame: Frame) -> Iterator[Judgement]:
    """Everything about the design's own loads that is less than the packs in force would take."""
    yield from _of_use(frame)
    if frame.settled.design.component_type in ROOF_TYPES and frame.width_mm is not None:
        yield from _of_the_site(frame)
        yield from _of_wind(frame, frame.width_mm / 1000.0)


def _look(frame: Frame, part: str, message: str) -> Judgement:
    return Judgement(LEAST, "design", frame.settled.design.reference, 0, Kind.REVIEW, part, message=message, pointer="/actions")


def _of_use(frame: Frame) -> Iterator[Judgement]:
    """Spread and concentrated loads of use, held against the code's own figure for their category."""
    for each in frame.selection.expected:
        value = frame.selection.values.get(FIGURES.get(each.id, ""))
        if value is None or (each.form == "line" and frame.width_mm is None):
            continue
        for category, found in _greatest(frame, each, by_category=value.table is not None).items():
            least = _figure(value, category)
            if least is not None and 0.0 < found < ROUNDED * least:
                told = f"{each.what}, category {category}" if value.table else each.what
                over = f" over a width of {frame.width_mm:g} mm" if each.form == "line" else ""
                message = (
                    f"{told[:1].upper()}{told[1:]}: {found:.3g} {value.unit}{over} at most is stated, and {least:g} {value.unit} is what the "
                    "code in force takes for it. Have spacing or use changed since, or who says that less will do?"
                )
                yield _look(frame, f"{each.id}-{category}".lower() if value.table else each.id, message)


def _figure(value: Value, category: str) -> float | None:
    found = value.table.look_up([category]) if value.table else value.number
    return float(found) if isinstance(found, (int, float)) else None


def _greatest(frame: Frame, expected: Expected, *, by_category: bool) -> dict[str, float]:
    """The heaviest of the loads that answer an expectation, kN/m² or kN; of each category, or of all."""
    design, found = frame.settled.design, dict[str, float]()
    for action in design.actions:
        loads = [load for load in action.loads if answers(load, expected, design)] if action.nature in expected.natures else []
        sizes = [_size(load, action, frame.width_mm) for load in loads]
        category = action.category if by_category else ""
        if sizes and category is not None:
            found[category] = max(found.get(category, 0.0), *sizes)
    return found


def _size(load: LineLoad | PointLoad | NodeLoad, action: Action, width_mm: float | None) -> float:
    """kN/m² of a line load, with what lies on the same piece in the same case; kN of any other."""
    match load:
        case LineLoad():
            lines = [each for each in action.loads if isinstance(each, LineLoad) and each.member == load.member]
            return sum(each.line_kn_per_m for each in lines if _same_stretch(each, load)) / ((width_mm or 1000.0) / 1000.0)
        case PointLoad():
            return load.point_kn or 0.0
        case NodeLoad():
            return -load.y_kn


def _same_stretch(one: LineLoad, other: LineLoad) -> bool:
    return (one.from_mm, one.to_mm, one.direction) == (other.from_mm, other.to_mm, other.direction)


def _of_the_site(frame: Frame) -> Iterator[Judgement]:
    """Snow and maintenance, held against what roof and site bring: the heaviest case, on the whole frame and on each piece."""
    own = {nature: [action for action in frame.own if action.nature == nature] for nature in SITED}
    if frame.settled.design.loading is not None or not any(own.values()):
        return
    derived = _derived(frame.settled.design, frame.selection)
    for nature, words in SITED.items():
        wanted = [action for action in derived if action.nature == nature]
        if wanted and own[nature]:
            yield from _held(frame, words, own[nature], wanted)


def _derived(design: Design, selection: Selection) -> list[Action]:
    """What the packs in force work out from roof and site. Without the wind, whose many cases take time and are held otherwise."""
    calm = replace(design, loading=Loading(), actions=(), site=replace(design.site, wind_speed_m_per_s=None))
    known = Known(selection.values, selection.book, selection.plans)
    makers = [chosen.pack.derive for chosen in selection.packs if chosen.pack.derive]
    return [each.action for make in makers for each in make(calm, known).derivations]


def _held(frame: Frame, words: str, own: Sequence[Action], wanted: Sequence[Action]) -> Iterator[Judgement]:
    places = [
        "" if any(isinstance(load, NodeLoad) for action in own for load in action.loads) else each.id
        for each in frame.settled.design.members
    ]
    stated, brought = ([_downwards(frame, action) for action in actions] for actions in (own, wanted))
    for member in dict.fromkeys(("", *places)):
        found, least = (_heaviest(loads, member) for loads in (stated, brought))
        if found < ENOUGH * least:
            where = member or "the frame"
            message = (
                f"The heaviest case of {words} stated puts {found:.3g} kN on {where}; site, roof and spacing bring {least:.3g} kN there. "
                "Have they changed since, or who says that less will do? (site, spacing_mm, actions)"
            )
            yield _look(frame, f"{words.partition(' ')[0]}{'-' if member else ''}{member.lower()}", message)
            return


class Downwards(NamedTuple):
    """What one action puts straight down, in kN, on each piece and, under "", on the frame; forces of people apart. group: the name of
    those of which one acts at a time."""

    group: str
    on: Mapping[str, float]


def _downwards(frame: Frame, action: Action) -> Downwards:
    index = {each.id: place for place, each in enumerate(frame.settled.design.members)}
    on = dict.fromkeys(("", *index), 0.0)
    for load in action.loads:
        if not isinstance(load, PointLoad):
            upwards = _upwards(load_of(load, frame.geometry, index)) / KN
            for place in ("",) if isinstance(load, NodeLoad) else ("", load.member):
                on[place] -= upwards
    return Downwards(action.one_of or action.id, on)


def _heaviest(actions: Iterable[Downwards], member: str) -> float:
    """kN on a piece, or on all, when all act that may act together: of a group, the heaviest."""
    groups: dict[str, float] = {}
    for action in actions:
        groups[action.group] = max(groups.get(action.group, 0.0), action.on[member])
    return sum(groups.values())


def _upwards(load: solver.Load) -> float:
    match load:
        case solver.LineLoad():
            return (load.end - load.start) * sum(load.qy) / 2.0
        case solver.NodeLoad():
            return load.fy
        case _:
            return 0.0


def _of_wind(frame: Frame, width_m: float) -> Iterator[Judgement]:
    """The fiercest suction stated, held against the pressure of the site's wind without its gusts."""
    speed, air = frame.settled.design.site.wind_speed_m_per_s, frame.selection.values.get(AIR)
    lines = [load for action in frame.own if action.nature == "wind" for load in action.loads if isinstance(load, LineLoad)]
    sucked = [load.line_kn_per_m for load in lines if load.direction in ("suction", "up")]
    if speed is None or air is None or not isinstance(air.number, (int, float)) or not sucked:
        return
    steady, found = air.number * speed**2 / 2.0 / KN, max(sucked) / width_m
    if found < GUSTLESS * steady:
        message = (
            f"No wind stated sucks at the roof with more than {found:.3g} kN/m²; a wind of {speed:g} m/s presses with {steady:.3g} kN/m² even "
            "without its gusts. Have site or spacing changed since, or who says that less will do? (site.wind_speed_m_per_s, actions)"
        )
        yield _look(frame, "wind", message)
