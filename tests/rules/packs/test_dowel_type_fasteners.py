"""Nails, bolts and dowels against a published example, closed forms and laws of Johansen's theory."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

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
    modes = dowels.single_shear(*f_h, 51.0, 39.0, 3.1, m_y)
    assert modes / 1000 == pytest.approx([4.43, 2.89, 1.55, 1.58, 1.13, 0.85], abs=0.005)
    assert 0.8 / 1.3 * 6 * modes.min() / 1000 == pytest.approx(3.1, abs=0.05)


def test_published_embedment_of_bolts():
    """Porteous and Kermani, Structural Timber Design to Eurocode 5, https://www.eurocode.us/structural-timber-design/info-yla.html: bolts in C22 and
    C18, printed 23.42 and 22.04 N/mm² along the grain; they fit a diameter of 16 mm."""
    assert [float(dowels.embedment(rho, 16.0, True, 0.082, -0.3, 0.01)) for rho in (340.0, 320.0)] == pytest.approx(
        [23.42, 22.04], abs=0.005
    )


def test_published_slip_of_nails():
    """LVL Handbook Europe 2025, image 185, https://proofer.faktor.fi/epaper/LVLHandbook_2025/185: nails of 2.5 mm, 350 kg/m³ taken for the mean
    density: 454 N/mm."""
    assert float(dowels.slip_of_nails(350.0, 2.5, False)) == pytest.approx(454, abs=0.5)


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
    one, other = dowels.single_shear(f_h_1, f_h_2, t_1, t_2, d, m_y), dowels.single_shear(f_h_2, f_h_1, t_2, t_1, d, m_y)
    assert one == pytest.approx(other[[1, 0, 2, 4, 3, 5]], rel=1e-9, abs=1e-6)


@given(**SIZES)
def test_double_shear_shares_its_modes_with_single(f_h_1, f_h_2, t_1, t_2, d, m_y):
    single, double = dowels.single_shear(f_h_1, f_h_2, t_1, t_2, d, m_y), dowels.double_shear(f_h_1, f_h_2, t_1, t_2, d, m_y)
    assert double[[0, 2, 3]] == pytest.approx(single[[0, 3, 5]])
    assert double[1] == pytest.approx(single[1] / 2)


@given(**SIZES)
def test_a_stronger_fastener_in_thicker_timber_never_holds_less(f_h_1, f_h_2, t_1, t_2, d, m_y):
    least = dowels.single_shear(f_h_1, f_h_2, t_1, t_2, d, m_y).min()
    for more in (
        (1.2 * f_h_1, 1.2 * f_h_2, t_1, t_2, d, m_y),
        (f_h_1, f_h_2, 1.2 * t_1, 1.2 * t_2, d, m_y),
        (f_h_1, f_h_2, t_1, t_2, d, 1.2 * m_y),
    ):
        assert dowels.single_shear(*more).min() >= least * (1 - 1e-9)


def test_a_rigid_pin_in_equal_pieces_turns():
    """f_h t d (√2 − 1): mode c for equal pieces, whatever the fastener; by statics of a stiff pin between two equal blocks."""
    assert dowels.single_shear(25.0, 25.0, 40.0, 40.0, 6.0, 1e9)[2] == pytest.approx(25 * 40 * 6 * (np.sqrt(2) - 1))


def test_two_hinges_by_virtual_work():
    """Mode f without its 1.15: √(2 β/(1 + β)) √(2 M_y f_h d), the plastic hinges at distances a_1 = √(2 M_y β…)/… from the face balance.

    With equal timber F = f_h d a and 2 M_y = F a/1 − f_h d a²/2, so F = √(4 M_y f_h d)/… = √(2 M_y f_h d) for one shear plane.
    """
    f_h, d, m_y = 25.0, 4.0, 8000.0
    a = np.sqrt(2.0 * m_y / (f_h * d))  # zero shear at the hinge: F = f_h d a; moments about it between two hinges: 2 M_y = f_h d a²
    assert dowels.single_shear(f_h, f_h, 500.0, 500.0, d, m_y)[5] == pytest.approx(1.15 * f_h * d * a)


@pytest.mark.parametrize(("plate", "between"), [(1.0, 0.0), (3.0, 0.0), (4.5, 0.5), (6.0, 1.0), (12.0, 1.0)])
def test_steel_plates_from_thin_to_thick(plate, between):
    """d 6: thin up to 3 mm, thick from 6 mm, straight between. Own: f_h 25, t 60, M_y 18 987 N·mm."""
    hinge = np.sqrt(18987.0 * 25 * 6)
    thin = min(0.4 * 25 * 60 * 6, 1.15 * np.sqrt(2) * hinge)
    thick = min(25 * 60 * 6, 25 * 60 * 6 * (np.sqrt(2 + 4 * 18987 / (25 * 6 * 60**2)) - 1), 2.3 * hinge)
    assert float(dowels.on_a_steel_plate(25.0, 60.0, 6.0, 18987.0, plate)) == pytest.approx(thin + between * (thick - thin))


@pytest.mark.parametrize(("axial", "gained"), [(0.0, 0.0), (200.0, 50.0), (4000.0, 150.0)])
def test_rope_effect_is_a_fourth_of_the_pull_up_to_its_share(axial, gained):
    """1000 N with the 15 % of round nails."""
    assert dowels.with_rope(1000.0, axial, 0.15) == pytest.approx(1000.0 + gained)


@pytest.mark.parametrize(("angle", "share"), [(0.0, 1.0), (90.0, 1 / 1.53), (45.0, 2 / 2.53)])
def test_bolts_hold_less_across_the_grain(angle, share):
    """d 12, softwood: k_90 = 1.35 + 0.015·12 = 1.53."""
    assert dowels.embedment_at_angle(25.0, 12.0, angle, 1.35) == pytest.approx(25.0 * share)


@pytest.mark.parametrize(("spacing", "exponent"), [(14, 1.0), (20, 1.0), (10, 0.85), (12, 0.925), (7, 0.7)])
def test_nails_in_a_row(spacing, exponent):
    assert float(dowels.nails_in_a_row(6.0, spacing * 3.0, 3.0)) == pytest.approx(6**exponent)


def test_bolts_in_a_row_never_count_more_than_they_are():
    """4 bolts at 5 d: 4^0.9 (5/13)^0.25 = 2.742; far apart all four."""
    assert float(dowels.bolts_in_a_row(4.0, 60.0, 12.0)) == pytest.approx(2.742, abs=5e-4)
    assert float(dowels.bolts_in_a_row(4.0, 600.0, 12.0)) == 4.0


def test_a_nail_is_drawn_or_its_head_pulled_through():
    """d 3, head 6.75, f_ax 2.45, f_head 8.575 N/mm² (20e-6 and 70e-6 ρ_k² at 350): 25 mm of point: 184 N; head 391 N, with a smooth shank more."""
    assert float(dowels.nail_withdrawal(2.45, 8.575, 3.0, 6.75, 25.0, 12.0, True)) == pytest.approx(183.75)
    assert float(dowels.nail_withdrawal(2.45, 8.575, 3.0, 6.75, 80.0, 12.0, False)) == pytest.approx(390.7, abs=0.05)
    assert float(dowels.nail_withdrawal(2.45, 8.575, 3.0, 6.75, 80.0, 12.0, True)) == pytest.approx(478.9, abs=0.05)
