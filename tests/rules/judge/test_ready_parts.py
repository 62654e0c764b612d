"""Ready-made parts carry what their maker declares along their length: nothing else of them is known, and no figure is guessed at."""

from __future__ import annotations

import pytest

STEEL = {"id": "WEB", "kind": "steel", "tradition": "en", "e_0_mean_mpa": 210000, "g_mean_mpa": 81000, "rho_mean_kg_per_m3": 7850}
PUSH = {"id": "g", "nature": "permanent", "loads": [{"node": "B", "y_kn": -2.0}]}
ACROSS = {
    "id": "g",
    "nature": "permanent",
    "loads": [{"node": "B", "y_kn": -2.0}, {"member": "M", "point_kn": 0.5, "at_mm": 500, "direction": "left"}],
}
DESIGN = {"tension_kn": 9, "compression_kn": 6, "basis": "design"}
CHARACTERISTIC = {"tension_kn": 9, "compression_kn": 6, "basis": "characteristic", "gamma_m": 1.25}


@pytest.fixture
def judged(bar, checked, found):
    """The judgement of an upright metal part 1 m long, pushed with 2.7 kN (1.35 · 2)."""

    def run(declared, action=PUSH, **member):
        section = {"area_mm2": 120, "second_moment_mm4": 2100, "modulus_mm3": 150, "declared": declared}
        frame = bar(1000, section, "WEB", upright=True, actions=[action], member=member)
        frame["materials"] = {"marking": "piece", "grades": [STEEL]}
        return found(checked(frame), "eurocode-timber/declared-capacity", "M")

    return run


SAID = {
    "design": (DESIGN, "pass", 2.7 / 6.0),
    "characteristic, of no duration": ({**CHARACTERISTIC, "k_mod": "none"}, "pass", 2.7 / (6.0 / 1.25)),
    "characteristic, nobody says whether k_mod applies": (CHARACTERISTIC, "open", None),
    "characteristic, and k_mod applies": ({**CHARACTERISTIC, "k_mod": "applies"}, "open", None),
    "nobody says how it is meant": ({"tension_kn": 9, "compression_kn": 6}, "open", None),
}


@pytest.mark.parametrize(("declared", "kind", "ratio"), SAID.values(), ids=SAID)
def test_a_declared_figure_counts_only_as_it_is_meant(declared, kind, ratio, judged):
    """Teeth in timber fall to 0.6 under permanent load: a characteristic figure over γ_M alone would pass them."""
    finding = judged(declared)
    assert finding["kind"] == kind
    assert ratio is None or finding["utilisation"] == pytest.approx(ratio)


def test_what_it_carries_along_says_nothing_of_bending(judged):
    assert judged(DESIGN, ACROSS)["kind"] == "open"
    assert judged(DESIGN, ends={"start": "pinned", "end": "rigid"})["kind"] == "open"
