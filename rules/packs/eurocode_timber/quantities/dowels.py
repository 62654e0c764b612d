"""Nails, screws, bolts and dowels across the grain and along their axis, EN 1995-1-1 8.2, 8.3, 8.5 to 8.7 and Table 7.1. N, mm, degrees, kg/m³.

Plain functions of arrays, so that any rule may use them: of one fastener and one shear plane, characteristic, without rope effect unless they
say so. Modes are those of Johansen's theory; the smallest governs. Numbers of the code come in from its values.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np


def single_shear(f_h_1: Any, f_h_2: Any, t_1: Any, t_2: Any, d: Any, m_y: Any, one_hinge: Any, two_hinges: Any) -> Any:
    """(6, …) modes a to f of two pieces of timber, N (8.6). f_h: embedment strengths, N/mm²; t_1 on the head's side, t_2 on the point's, mm;
    m_y: yield moment, N·mm; one_hinge, two_hinges: what the code takes of modes d and e, and f, for the bent fastener."""
    beta, ratio = f_h_2 / f_h_1, t_2 / t_1
    c = f_h_1 * t_1 * d / (1.0 + beta) * (
        np.sqrt(beta + 2.0 * beta**2 * (1.0 + ratio + ratio**2) + beta**3 * ratio**2) - beta * (1.0 + ratio)
    )  # fmt: skip
    bent_1, bent_2 = m_y / (f_h_1 * d * t_1**2), m_y / (f_h_1 * d * t_2**2)
    d_ = one_hinge * f_h_1 * t_1 * d / (2.0 + beta) * (np.sqrt(2.0 * beta * (1.0 + beta) + 4.0 * beta * (2.0 + beta) * bent_1) - beta)
    e = (
        one_hinge * f_h_1 * t_2 * d / (1.0 + 2.0 * beta)
        * (np.sqrt(2.0 * beta**2 * (1.0 + beta) + 4.0 * beta * (1.0 + 2.0 * beta) * bent_2) - beta)
    )  # fmt: skip
    f = two_hinges * np.sqrt(2.0 * beta / (1.0 + beta)) * np.sqrt(2.0 * m_y * f_h_1 * d)
    return np.stack(np.broadcast_arrays(f_h_1 * t_1 * d, f_h_2 * t_2 * d, c, d_, e, f))


def on_a_steel_plate(
    f_h: Any, t: Any, d: Any, m_y: Any, plate: Any, thin_share: Any, two_hinges: Any, pull: Any = 0.0, limit: Any = 0.0
) -> Any:
    """The smallest mode of one steel plate on timber, N: thin up to d/2 thick (8.9), thick from d on (8.10), straight between (8.2.3(1)).
    plate: its thickness, mm; thin_share: of f_h t d that turns a fastener under a thin plate; pull, limit: for the rope effect in the modes
    that bend it."""
    hinges = two_hinges * np.sqrt(2.0 * m_y * f_h * d)
    thin = np.minimum(thin_share * f_h * t * d, with_rope(hinges, pull, limit))
    crushed, bending = under_a_thick_plate(f_h, t, d, m_y, two_hinges)
    thick = np.minimum(crushed, with_rope(bending, pull, limit))
    return thin + (thick - thin) * np.clip(2.0 * plate / d - 1.0, 0.0, 1.0)


def under_a_thick_plate(f_h: Any, t: Any, d: Any, m_y: Any, two_hinges: Any) -> tuple[Any, Any]:
    """Modes c, and the lesser of d and e, of a thick steel plate on timber, N (8.10): straight through the timber, and bent once or twice."""
    once = f_h * t * d * (np.sqrt(2.0 + 4.0 * m_y / (f_h * d * t**2)) - 1.0)
    return f_h * t * d, np.minimum(once, two_hinges * np.sqrt(4.0 * m_y * f_h * d))


def with_rope(modes: Any, pull: Any, limit: Any) -> Any:
    """Modes in which the fastener bends, with `pull` of its axial resistance, at most a share `limit` of the mode itself (8.2.2(2))."""
    return modes + np.minimum(pull, limit * modes)


def embedment(rho_k: Any, d: Any, predrilled: Any, factor: Any, exponent: Any, drilled: Any) -> Any:
    """f_h,k of nails and thin screws, N/mm² (8.15), (8.16)."""
    return factor * rho_k * np.where(predrilled, 1.0 - drilled * d, d**exponent)


def embedment_at_angle(f_h_0: Any, d: Any, angle: Any, constant: Any, slope: Any) -> Any:
    """f_h,α,k of bolts and dowels, N/mm² (8.31), (8.33). angle: between force and grain, degrees; constant, slope: of k_90 over d."""
    k_90 = constant + slope * d
    return f_h_0 / (k_90 * np.sin(np.radians(angle)) ** 2 + np.cos(np.radians(angle)) ** 2)


def nails_in_a_row(n: Any, spacing: Any, d: Any, steps: Sequence[float], exponents: Sequence[float]) -> Any:
    """n_ef of n nails in a row along the grain, not staggered (8.17): n^k_ef, k_ef straight between spacings of so many diameters."""
    return n ** np.interp(np.asarray(spacing / d, dtype=np.float64), steps, exponents)


def bolts_in_a_row(n: Any, spacing: Any, d: Any, exponent: Any, reference: Any, power: Any) -> Any:
    """n_ef of n bolts or dowels in a row along the grain, loaded along it (8.34): n^exponent (a_1/(reference d))^power, at most n."""
    return np.minimum(n, n**exponent * (spacing / (reference * d)) ** power)


def slip_modulus(rho_m: Any, d: Any, rho_power: Any, d_power: Any, divisor: Any) -> Any:
    """K_ser of one fastener and shear plane, N/mm (Table 7.1): ρ_m^1.5 d over 23 where drilled for, ρ_m^1.5 d^0.8 over 30 where driven."""
    return rho_m**rho_power * d**d_power / divisor
