"""Linear effects of loads at joints, on two axes: on every piece at every place of its plates, and through every joint line.

Contact between pieces is no linear effect: it is taken off after roving loads have been arranged, the same for all pieces of a joint.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

import solver
from rules.judge.effects import Effects, EffectsOf
from rules.judge.framed import Frame
from rules.judge.plated import Plated
from rules.judge.transfer import flows, pressed, shear_beside, wrenches

Floats = NDArray[np.float64]
JOINT_AXES = ("joint", "joint-line")


def joint_effects(axis: str, joints: Sequence[Plated]) -> EffectsOf:
    """The effects of an axis on these joints, places in their order."""
    return (lambda *given: _on_pieces(joints, *given)) if axis == "joint" else (lambda *given: _through_lines(joints, *given))


def _on_pieces(joints: Sequence[Plated], frame: Frame, table: solver.Table, mix: Floats) -> Effects:
    """p_x, p_y, p_m, v_before, v_after; and the flows of all links of the joint, where contact may be counted on."""
    columns: dict[str, list[Floats]] = {}
    count = _most_links(joints)
    for plated in joints:
        found = wrenches(frame, plated, table, mix)
        passed = np.pad(flows(plated, found), ((0, 0), (0, count), (0, 0)))
        for i, body in enumerate(plated.bodies):
            shear = shear_beside(frame, body, plated, table)
            for contact in plated.contacts[i]:
                x, y = contact.middle
                fx, fy, moment = found[:, i].T
                _add(columns, p_x=fx, p_y=fy, p_m=moment - x * fy + y * fx, v_before=shear[:, 0], v_after=shear[:, 1])
                _add(columns, **{f"link_{k}_{name}": passed[:, k, way] for k in range(count) for way, name in enumerate("xy")})
    return {name: np.stack(listed, axis=1) for name, listed in columns.items()}


def _most_links(joints: Sequence[Plated]) -> int:
    return max((len(plated.links) for plated in joints if plated.touches and not plated.is_splice), default=0)


def _through_lines(joints: Sequence[Plated], frame: Frame, table: solver.Table, mix: Floats) -> Effects:
    """q_x, q_y, q_m: on the near side of every link, about the middle of the covered length."""
    columns: dict[str, list[Floats]] = {}
    for plated in joints:
        passed = flows(plated, wrenches(frame, plated, table, mix))
        for k, link in enumerate(plated.links):
            fx, fy, moment = passed[:, k].T
            for _, (x, y) in link.spans:
                _add(columns, q_x=fx, q_y=fy, q_m=moment - x * fy + y * fx)
    return {name: np.stack(listed, axis=1) for name, listed in columns.items()}


def _add(columns: dict[str, list[Floats]], **more: Floats) -> None:
    for name, column in more.items():
        columns.setdefault(name, []).append(column)


def together_at_joints(effects: Effects) -> list[Mapping[str, Floats]]:
    """Ways for forces judged together: the furthest force in eight directions, the furthest moment and shear both ways."""
    x, y = ("p_x", "p_y") if "p_x" in effects else ("q_x", "q_y")
    fx, fy = effects[x], effects[y]
    drives = [fx, fy, fx + fy, fx - fy, *(effects[name] for name in ("p_m", "q_m", "v_before", "v_after") if name in effects)]
    return [dict.fromkeys(effects, sign * drive) for drive in drives for sign in (1.0, -1.0)]


def after_contact(frame: Frame, axis: str, joints: Sequence[Plated], effects: Effects) -> Effects:
    """The effects less what the pieces press straight into each other; of a splice only through the line, its pieces by rules of their own."""
    told = {name: effect for name, effect in effects.items() if not name.startswith("link_")}
    if not any(plated.touches for plated in joints):
        return told
    x, y = ("p_x", "p_y") if axis == "joint" else ("q_x", "q_y")
    told |= {x: told[x].copy(), y: told[y].copy()}
    for plated, places in zip(joints, slices(axis, joints), strict=True):
        if plated.touches and not (axis == "joint" and plated.is_splice):
            taken = _taken_on_pieces(frame, plated, effects, places) if axis == "joint" else _taken_through(frame, plated, told, places)
            told[x][:, places] -= taken[..., 0]
            told[y][:, places] -= taken[..., 1]
    return told


def slices(axis: str, joints: Sequence[Plated]) -> tuple[slice, ...]:
    """Where each joint has its places."""
    counts = [len(plated.shifts) * len(plated.bodies if axis == "joint" else plated.links) for plated in joints]
    ends = np.cumsum([0, *counts]).tolist()
    return tuple(slice(start, stop) for start, stop in pairwise(ends))


def _taken_on_pieces(frame: Frame, plated: Plated, effects: Effects, places: slice) -> Floats:
    """(rows, places, 2) contact forces on each piece: of its own line with one sign, of lines cut to it with the other."""
    many = len(plated.shifts)
    taken = []
    for column in range(places.start, places.stop):
        flow = np.stack([[effects[f"link_{k}_{name}"][:, column] for name in "xy"] for k in range(len(plated.links))]).transpose(2, 0, 1)
        signs = np.array([_sign(link.bodies[0], link.other, (column - places.start) // many) for link in plated.links])
        taken.append((pressed(frame, plated, flow) * signs[:, None]).sum(axis=1))
    return np.stack(taken, axis=1)


def _sign(near: int, other: int, body: int) -> float:
    return 1.0 if body == near else -1.0 if body == other else 0.0


def _taken_through(frame: Frame, plated: Plated, effects: Effects, places: slice) -> Floats:
    """(rows, places, 2) contact forces through each line itself."""
    flow = np.stack([effects["q_x"][:, places], effects["q_y"][:, places]], axis=-1)
    many = len(plated.shifts)
    by_shift = [pressed(frame, plated, flow[:, k::many]) for k in range(many)]
    return np.asarray(np.stack(by_shift, axis=2).reshape(flow.shape), dtype=np.float64)
