"""Nails, bolts and dowels against a published example, closed forms and laws of Johansen's theory."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.library.cases import Case
from rules.library.rule import Kind
from rules.library.testing import evidence_of
from rules.packs.eurocode_timber.quantities import dowels

HANDBOOK = "LVL Handbook Europe 2025, images 206 and 207, https://proofer.faktor.fi/epaper/LVLHandbook_2025/206"


def test_the_published_nail_in_single_shear():
    """HANDBOOK, example 9.7: nails 3.1 × 90 through 51 mm of LVL 48 P (480 kg/m³) into 39 mm of LVL 32 P (410 kg/m³), wire of 600 N/mm².

    Printed: f_h 28.0 and 23.9 N/mm², M_y 3410 N·mm (its formula prints 2.5 for the diameter, its numbers are those of 3.1), modes a to f
    4.43, 2.89, 1.55, 1.58, 1.13 and 0.85 kN; six staggered nails, k_mod 0.8, γ_M 1.3: 3.1 kN.
    """
    f_h = [float(dowels.embedment(rho, 3.1, False, 0.082, -0.3, 0.01)) for rho in (480.0, 410.0)]
    assert [round(each, 1) for each in f_h] == [28.0, 23.9]
    m_y = 0.3 * 600 * 3.1**2.6
    assert round(m_y, -1) == 3410
    modes = dowels.single_shear(*f_h, 51.0, 39.0, 3.1, m_y, 1.05, 1.15)
    assert modes / 1000 == pytest.approx([4.43, 2.89, 1.55, 1.58, 1.13, 0.85], abs=0.005)
    assert 0.8 / 1.3 * 6 * modes.min() / 1000 == pytest.approx(3.1, abs=0.05)


SIX_NAILS = {
    "fastener_is_screw": False, "fastener_is_bolt": False, "fastener_is_smooth": False, "fastener_drilled": False, "fastener_kind": "nail",
    "fastener_family": "driven nail", "nail_form": "round", "fastener_pulled": "across", "fastener_count": 6.0, "fastener_in_row": 1.0,
    "fastener_diameter": 3.1, "fastener_length": 90.0, "fastener_root": 0.0, "fastener_head": 0.0, "fastener_thread": 0.0, "fastener_spacing": 0.0,
    "fastener_plate": 0.0, "fastener_f_u": 600.0, "fastener_m_y": 0.0, "fastener_f_ax": 0.0, "fastener_f_head": 0.0, "fastener_f_tens": 0.0, "fastener_pull_angle": 0.0, "fastener_washer": 0.0,
    "fastener_washer_thickness": 0.0, "fastener_bearing": 0.0,
    "fastener_through": 51.0, "fastener_room": 75.0, "rho_head": 480.0, "rho_point": 410.0, "rho_dense": 480.0, "k_mod": 0.8,
    "is_accidental": False, "duration": "medium",
}  # fmt: skip


def worked_out(shipped, name, **said):
    """A quantity of the pack, from what a design would state."""
    case = Case("", name, SIX_NAILS | said, {}, Kind.PASS, HANDBOOK)
    return float(np.asarray(evidence_of(case, shipped.pack("eurocode-timber"), shipped)[name]).reshape(-1)[0])


def test_the_published_nails_as_a_fixing(shipped):
    """HANDBOOK, example 9.7, by the quantities that braces, straps and hangers are judged by: 0.85 kN a nail, 3.1 kN six of them."""
    assert worked_out(shipped, "fastener_point") == 39.0
    assert worked_out(shipped, "fastener_f_v_rk") / 1000 == pytest.approx(0.85, abs=0.005)
    assert worked_out(shipped, "fasteners_resistance") / 1000 == pytest.approx(3.1, abs=0.05)


def test_the_published_screws_drawn_out(shipped):
    """LVL Handbook Europe 2025, example 9.6, images 200 and 201, https://proofer.faktor.fi/epaper/LVLHandbook_2025/201: two screws 5 mm, 45 mm of thread,
    10 N/mm², permanent load: 2.25 kN each, 1.9 kN together."""
    screws = {
        "fastener_is_screw": True, "fastener_kind": "screw", "nail_form": "other", "fastener_pulled": "along", "fastener_count": 2.0,
        "fastener_diameter": 5.0, "fastener_length": 60.0, "fastener_root": 3.2, "fastener_thread": 45.0, "fastener_f_ax": 10.0,
        "fastener_f_tens": 7000.0, "fastener_plate": 2.0, "fastener_through": 0.0, "fastener_room": 200.0, "duration": "permanent", "k_mod": 0.6,
    }  # fmt: skip
    assert worked_out(shipped, "fastener_f_ax_rk", **screws) == pytest.approx(2250)
    assert worked_out(shipped, "fasteners_resistance", **screws) / 1000 == pytest.approx(1.9, abs=0.05)


def test_the_published_distances_of_nails(shipped):
    """Porteous and Kermani, example 10.13.5: smooth nails 2.65 mm thick: 21.2 mm of penetration at least, of 25 mm a share of 0.85
    (https://www.eurocode.us/structural-timber-design/info-dqp-1.html). Course notes of a French lycée, https://fr.scribd.com/document/668542268:
    a_1 = 10 d at most below 5 mm thick, 8 d of smooth and 6 d of ringed nails in the point's timber."""
    nails = {"fastener_diameter": 2.65, "fastener_length": 40.0, "fastener_through": 15.0}
    assert worked_out(shipped, "fastener_depth_use", **nails) == pytest.approx(0.85, abs=0.005)
    assert worked_out(shipped, "nail_penetration") == 8.0
    assert worked_out(shipped, "nail_penetration", nail_form="other") == 6.0
    assert worked_out(shipped, "fastener_a_1", rho_dense=420.0) == 10.0
    assert worked_out(shipped, "fastener_a_1", rho_dense=420.0, fastener_diameter=5.0) == 12.0
    assert worked_out(shipped, "fastener_a_1") == 15.0


@pytest.mark.parametrize(
    ("kind", "form", "share"),
    [
        ("nail", "round", 0.15),
        ("nail", "square", 0.25),
        ("nail", "grooved", 0.25),
        ("nail", "other", 0.5),
        ("screw", "other", 1.0),
        ("bolt", "round", 0.25),
    ],
)
def test_the_rope_effect_is_limited_by_kind(shipped, kind, form, share):
    """8.2.2(2). However well the point holds, no more than this share of what Johansen's modes give is added."""
    assert worked_out(shipped, "rope_share", fastener_kind=kind, nail_form=form) == share
    plain = worked_out(shipped, "fastener_f_v_rk", fastener_kind=kind, nail_form=form, yield_moment_factor=0.3)
    held = {"fastener_f_ax": 1e3, "fastener_f_head": 1e3, "fastener_head": 10.0, "fastener_thread": 39.0, "yield_moment_factor": 0.3}
    assert worked_out(shipped, "fastener_f_v_rk", fastener_kind=kind, nail_form=form, **held) == pytest.approx((1.0 + share) * plain)


def test_published_embedment_of_bolts():
    """Porteous and Kermani, Structural Timber Design to Eurocode 5, https://www.eurocode.us/structural-timber-design/info-yla.html: bolts in C22 and
    C18, printed 23.42 and 22.04 N/mm² along the grain; they fit a diameter of 16 mm."""
    assert [float(dowels.embedment(rho, 16.0, True, 0.082, -0.3, 0.01)) for rho in (340.0, 320.0)] == pytest.approx(
        [23.42, 22.04], abs=0.005
    )


def test_published_slip_of_nails():
    """LVL Handbook Europe 2025, image 185, https://proofer.faktor.fi/epaper/LVLHandbook_2025/185: nails of 2.5 mm, 350 kg/m³ taken for the mean
    density: 454 N/mm."""
    assert float(dowels.slip_modulus(350.0, 2.5, 1.5, 0.8, 30.0)) == pytest.approx(454, abs=0.5)


HINGES = (1.05, 1.15)
"""Factors of the modes that bend a fastener once and twice, EN 1995-1-1 (8.6)."""
ROW = ((4.0, 7.0, 10.0, 14.0), (0.5, 0.7, 0.85, 1.0))
BOLTS = (0.9, 13.0, 0.25)

BOOK = "Porteous and Kermani, Structural Timber Design to Eurocode 5, https://www.eurocode.us/structural-timber-design/{}.html"


def test_a_published_joint_of_two_bolts_at_an_angle():
    """BOOK f-xnu and n-mxx, example 10.13.4: two bolts 16 mm thick through pieces of C18: one 37 mm thick along its grain on both sides of others 47 mm thick.

    Printed: β 0.77, modes g 13.05 and h 6.4 kN, 7.88 kN for both, medium term. They fit a force at 45° to the grain of the inner ones.
    """
    f_h_3 = dowels.embedment(320.0, 16.0, True, 0.082, -0.3, 0.01)
    f_h_2 = dowels.embedment_at_angle(f_h_3, 16.0, 45.0, 1.35, 0.015)
    assert f_h_2 / f_h_3 == pytest.approx(0.77, abs=0.005)
    modes = 37.0 * f_h_3 * 16.0 / 1000, 0.5 * 47.0 * f_h_2 * 16.0 / 1000
    assert modes == pytest.approx([13.05, 6.4], abs=0.005)
    assert 0.8 / 1.3 * 2 * modes[1] == pytest.approx(7.88, abs=0.005)


def test_a_published_steel_plate_as_a_washer(shipped):
    """BOOK info-bys, example 12.8.1 (examples-pqe): bolts of 12 mm and 400 N/mm² through plates 12 mm thick on C24 (2.5 N/mm² across the grain).

    Printed: 1.26·10⁴ N under the plate, and 3.37·10⁴ N of the bolt itself, of 84.3 mm² without the factor k_2.
    """
    bolts = {
        "fastener_is_bolt": True, "fastener_kind": "bolt", "fastener_drilled": True, "fastener_pulled": "along", "fastener_diameter": 12.0,
        "fastener_plate": 12.0, "fastener_washer": 60.0, "fastener_washer_thickness": 5.0, "fastener_bearing": 2.5, "fastener_f_u": 400.0,
        "fastener_count": 1.0, "fastener_length": 200.0, "fastener_room": 150.0,
    }  # fmt: skip
    assert worked_out(shipped, "fastener_f_ax_rk", **bolts) == pytest.approx(1.26e4, abs=50)
    steel = worked_out(shipped, "fastener_steel", **bolts) * worked_out(shipped, "gamma_m_steel_tension", **bolts)
    assert 0.9 * 0.9 * 3.37e4 <= steel <= 0.9 * 3.37e4, "a bolt's least thread, and k_2"


@pytest.mark.parametrize(("d", "stress_area"), [(6, 20.1), (8, 36.6), (10, 58.0), (12, 84.3), (16, 157.0), (20, 245.0), (24, 353.0)])
def test_no_bolt_has_less_thread_than_is_counted(shipped, d, stress_area):
    """Stress areas of coarse threads, ISO 898-1 (M12 to M24 also at https://orangebook.arcelormittal.com/node/68; the smaller from memory)."""
    share = worked_out(shipped, "bolt_thread_share")
    assert 0.85 * stress_area < share * np.pi / 4 * d**2 <= stress_area


@pytest.mark.parametrize(("d", "printed"), [(12, 24.3), (16, 45.1), (20, 70.6), (24, 102.0), (30, 161.0)])
def test_published_tension_resistances_of_bolts(shipped, d, printed):
    """EN 1993-1-8, class 4.6 (400 N/mm²), kN: https://orangebook.arcelormittal.com/node/45. Declared, its 1.25 of it is what counts; else never more."""
    bolt = {"fastener_is_bolt": True, "fastener_kind": "bolt", "fastener_diameter": float(d), "fastener_f_u": 400.0}
    assert 0.85 * printed <= worked_out(shipped, "fastener_steel", **bolt) / 1000 <= printed
    declared = bolt | {"fastener_f_tens": 1250.0 * printed}
    assert worked_out(shipped, "fastener_steel", **declared) / 1000 == pytest.approx(printed)


@pytest.mark.parametrize(("form", "power"), [("round", 1.0), ("square", 1.0), ("grooved", 1.0), ("other", 2.0)])
@given(angle=st.floats(1.0, 89.0))
def test_a_pull_both_ways_uses_its_shares_together(shipped, form, power, angle):
    """(8.27), (8.28): at the resistance the shares along and across, or their squares, add up to one."""
    said = {
        "nail_form": form, "fastener_pulled": "both", "fastener_pull_angle": angle, "fastener_f_ax": 5.0, "fastener_f_head": 20.0,
        "fastener_head": 7.0, "fastener_thread": 30.0, "fastener_is_smooth": form == "round",
    }  # fmt: skip
    names = ("fasteners_resistance", "resistance_along", "resistance_across")
    held, along, across = (worked_out(shipped, name, **said) for name in names)
    turn = np.radians(angle)
    assert (held * np.cos(turn) / along) ** power + (held * np.sin(turn) / across) ** power == pytest.approx(1.0)


SIZES = {
    "f_h_1": st.floats(5, 60),
    "f_h_2": st.floats(5, 60),
    "t_1": st.floats(10, 120),
    "t_2": st.floats(10, 120),
    "d": st.floats(2, 20),
    "m_y": st.floats(500, 5e5),
}


@given(**SIZES)
def test_single_shear_does_not_mind_which_piece_comes_first(f_h_1, f_h_2, t_1, t_2, d, m_y):
    one, other = (dowels.single_shear(*given, *HINGES) for given in ((f_h_1, f_h_2, t_1, t_2, d, m_y), (f_h_2, f_h_1, t_2, t_1, d, m_y)))
    assert one == pytest.approx(other[[1, 0, 2, 4, 3, 5]], rel=1e-9, abs=1e-6)


@given(**SIZES)
def test_a_stronger_fastener_in_thicker_timber_never_holds_less(f_h_1, f_h_2, t_1, t_2, d, m_y):
    least = dowels.single_shear(f_h_1, f_h_2, t_1, t_2, d, m_y, *HINGES).min()
    for more in (
        (1.2 * f_h_1, 1.2 * f_h_2, t_1, t_2, d, m_y),
        (f_h_1, f_h_2, 1.2 * t_1, 1.2 * t_2, d, m_y),
        (f_h_1, f_h_2, t_1, t_2, d, 1.2 * m_y),
    ):
        assert dowels.single_shear(*more, *HINGES).min() >= least * (1 - 1e-9)


def test_a_rigid_pin_in_equal_pieces_turns():
    """f_h t d (√2 − 1): mode c for equal pieces, whatever the fastener; by statics of a stiff pin between two equal blocks."""
    assert dowels.single_shear(25.0, 25.0, 40.0, 40.0, 6.0, 1e9, *HINGES)[2] == pytest.approx(25 * 40 * 6 * (np.sqrt(2) - 1))


def test_two_hinges_by_virtual_work():
    """Mode f without its 1.15: √(2 β/(1 + β)) √(2 M_y f_h d), the plastic hinges at distances a_1 = √(2 M_y β…)/… from the face balance.

    With equal timber F = f_h d a and 2 M_y = F a/1 − f_h d a²/2, so F = √(4 M_y f_h d)/… = √(2 M_y f_h d) for one shear plane.
    """
    f_h, d, m_y = 25.0, 4.0, 8000.0
    a = np.sqrt(2.0 * m_y / (f_h * d))  # zero shear at the hinge: F = f_h d a; moments about it between two hinges: 2 M_y = f_h d a²
    assert dowels.single_shear(f_h, f_h, 500.0, 500.0, d, m_y, *HINGES)[5] == pytest.approx(1.15 * f_h * d * a)


@pytest.mark.parametrize(("plate", "between"), [(1.0, 0.0), (3.0, 0.0), (4.5, 0.5), (6.0, 1.0), (12.0, 1.0)])
def test_steel_plates_from_thin_to_thick(plate, between):
    """d 6: thin up to 3 mm, thick from 6 mm, straight between. Own: f_h 25, t 60, M_y 18 987 N·mm."""
    hinge = np.sqrt(18987.0 * 25 * 6)
    thin = min(0.4 * 25 * 60 * 6, 1.15 * np.sqrt(2) * hinge)
    thick = min(25 * 60 * 6, 25 * 60 * 6 * (np.sqrt(2 + 4 * 18987 / (25 * 6 * 60**2)) - 1), 2.3 * hinge)
    assert float(dowels.on_a_steel_plate(25.0, 60.0, 6.0, 18987.0, plate, 0.4, 1.15)) == pytest.approx(thin + between * (thick - thin))


@pytest.mark.parametrize(("axial", "gained"), [(0.0, 0.0), (200.0, 50.0), (4000.0, 150.0)])
def test_rope_effect_is_a_fourth_of_the_pull_up_to_its_share(axial, gained):
    """1000 N with the 15 % of round nails."""
    assert dowels.with_rope(1000.0, axial / 4.0, 0.15) == pytest.approx(1000.0 + gained)


@pytest.mark.parametrize(("angle", "share"), [(0.0, 1.0), (90.0, 1 / 1.53), (45.0, 2 / 2.53)])
def test_bolts_hold_less_across_the_grain(angle, share):
    """d 12, softwood: k_90 = 1.35 + 0.015·12 = 1.53."""
    assert dowels.embedment_at_angle(25.0, 12.0, angle, 1.35, 0.015) == pytest.approx(25.0 * share)


@pytest.mark.parametrize(("spacing", "exponent"), [(14, 1.0), (20, 1.0), (10, 0.85), (12, 0.925), (7, 0.7)])
def test_nails_in_a_row(spacing, exponent):
    assert float(dowels.nails_in_a_row(6.0, spacing * 3.0, 3.0, *ROW)) == pytest.approx(6**exponent)


def test_bolts_in_a_row_never_count_more_than_they_are():
    """4 bolts at 5 d: 4^0.9 (5/13)^0.25 = 2.742; far apart all four."""
    assert float(dowels.bolts_in_a_row(4.0, 60.0, 12.0, *BOLTS)) == pytest.approx(2.742, abs=5e-4)
    assert float(dowels.bolts_in_a_row(4.0, 600.0, 12.0, *BOLTS)) == 4.0


@pytest.mark.parametrize(
    ("length", "smooth", "held"), [(52.0, True, 294.0), (92.0, True, 478.9), (92.0, False, 390.7)], ids=["drawn", "through", "ringed"]
)
def test_a_nail_is_drawn_or_its_head_pulled_through(shipped, length, smooth, held):
    """d 3, head 6.75, 12 mm under it, f_ax 2.45, f_head 8.575 N/mm² (20e-6 and 70e-6 ρ_k² at 350): 40 mm of point 294 N; head 391 N, with a
    smooth shank 88 N more."""
    nail = {
        "fastener_is_smooth": smooth, "fastener_pulled": "along", "rho_head": 350.0, "rho_point": 350.0, "fastener_diameter": 3.0,
        "fastener_head": 6.75, "fastener_through": 12.0, "fastener_length": length, "fastener_room": 150.0,
    }  # fmt: skip
    declared = {} if smooth else {"fastener_f_ax": 2.45, "fastener_f_head": 8.575, "fastener_thread": 80.0}
    assert worked_out(shipped, "fastener_f_ax_rk", **nail, **declared) == pytest.approx(held, abs=0.05)
