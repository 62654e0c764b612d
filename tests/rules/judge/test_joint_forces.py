"""What plates pass between the pieces: balance at every joint, from the cut pieces themselves, under every kind of load."""

from __future__ import annotations

import datetime
import json
from typing import Any

import numpy as np
import plating
import pytest

from rules.judge.checking import prepare
from rules.judge.framed import Frame
from rules.judge.plated import plated_joints
from rules.judge.transfer import _needs, _standing, flows, pressed, wrenches
from service.schemas import load


@pytest.fixture
def framed(library):
    def run(document: dict[str, Any]) -> Frame:
        return prepare(load(json.dumps(document).encode()), library, datetime.date(2026, 11, 25))

    return run


def rows(frame: Frame) -> tuple[Any, np.ndarray]:
    """All answers as they stand, and the cases in each: one."""
    every = np.eye(len(frame.response))
    return frame.response.rows(slice(0, len(every))), every


LOADS = {
    "along the rafters": [{"member": "R1", "line_kn_per_m": 1.0, "along": "plan", "direction": "down"}],
    "a force within a bay": [{"member": "T", "point_kn": 2.0, "at_mm": 1000, "direction": "down"}],
    "a force on the rafter right at a node": [{"member": "R1", "point_kn": 2.0, "at_mm": 488.2622, "direction": "down"}],
    "a force at the end of a strut": [{"member": "W1", "point_kn": 1.0, "at_mm": 0, "direction": "down"}],
    "sideways": [{"member": "R2", "line_kn_per_m": 0.5, "along": "member", "direction": "pressure", "face": "upper"}],
    "a person anywhere": [{"member": "R1", "point_kn": 0.9, "anywhere": True, "direction": "down"}],
}


@pytest.mark.parametrize("loads", LOADS.values(), ids=LOADS)
def test_the_cut_pieces_alone_are_in_balance_where_no_bearing_helps(framed, loads):
    """Without any carrier: what the pieces need, less what stands on them, adds up to nothing at B, C, D and F."""
    frame = framed(plating.truss(loads=loads))
    table, every = rows(frame)
    for plated in plated_joints(frame):
        if plated.node in ("A", "E"):
            continue
        raw = [_needs(frame, table, body, plated) - every @ _standing(frame, body) for body in plated.bodies]
        size = max(np.abs(each).max() for each in raw)
        assert np.abs(sum(raw)).max() <= 1e-7 * max(size, 1e3), plated.id


def test_eccentric_ends_keep_the_balance(framed):
    """Strut and post end beside the node they meet at: their forces turn it, and the plates feel the moment."""
    document = plating.truss(loads=LOADS["sideways"] + LOADS["a person anywhere"])
    document["members"][4]["offset_mm"] = {"start": [10, -20], "end": [0, 45]}
    document["members"][3]["offset_mm"] = {"start": [-15, 30], "end": [0, -40]}
    frame = framed(document)
    table, every = rows(frame)
    for plated in plated_joints(frame):
        if plated.node not in ("A", "E"):
            raw = [_needs(frame, table, body, plated) - every @ _standing(frame, body) for body in plated.bodies]
            assert np.abs(sum(raw)).max() <= 1e-7 * max(np.abs(raw[0]).max(), 1e4), plated.id


@pytest.mark.parametrize("loads", LOADS.values(), ids=LOADS)
def test_the_plates_are_in_balance_at_every_joint(framed, loads):
    frame = framed(plating.truss(loads=loads))
    table, every = rows(frame)
    for plated in plated_joints(frame):
        found = wrenches(frame, plated, table, every)
        assert np.abs(found.sum(axis=1)).max() <= 1e-9 * max(np.abs(found).max(), 1e3)


def test_a_pin_jointed_bar_pushes_along_itself(framed):
    """The post carries N only: the plates at its foot pass that and nothing across it, and no moment about the node."""
    frame = framed(plating.truss())
    table, every = rows(frame)
    plated = next(each for each in plated_joints(frame) if each.id == "JF")
    post = next(i for i, body in enumerate(plated.bodies) if body.member == 3)
    found = wrenches(frame, plated, table, every)[0, post]
    axial = float(table.n[0, frame.response.layout.slices[3].start])
    assert found == pytest.approx((0.0, -axial, 0.0), abs=1e-6 * abs(axial))


def test_the_chord_takes_what_webs_bring(framed):
    """At B the rafter runs through: it takes the strut's force, whatever else it carries over the node."""
    frame = framed(plating.truss())
    table, every = rows(frame)
    plated = next(each for each in plated_joints(frame) if each.id == "JB")
    found = wrenches(frame, plated, table, every)
    assert found[:, 0] == pytest.approx(-found[:, 1], rel=1e-9)
    assert np.hypot(*found[0, 1, :2]) == pytest.approx(abs(float(table.n[0, frame.response.layout.slices[4].start])), rel=1e-9)


def test_links_share_out_the_whole_joint(framed):
    """What links pass to a body and take from it is what its plates pass to it."""
    frame = framed(plating.truss())
    table, every = rows(frame)
    for plated in plated_joints(frame):
        found = wrenches(frame, plated, table, every)
        passed = flows(plated, found)
        shared = np.zeros_like(found)
        for k, link in enumerate(plated.links):
            shared[:, link.bodies[0]] += passed[:, k]
            shared[:, link.other] -= passed[:, k]
        assert shared == pytest.approx(found, abs=1e-6 * max(np.abs(found).max(), 1.0))


def test_contact_takes_half_of_a_push_and_nothing_of_a_pull(framed):
    document = plating.truss(loads=[{"node": "C", "x_kn": 0.0, "y_kn": -10.0}])
    for joint in document["joints"]:
        joint["gaps"] = {"mean_mm": 1.0, "most_mm": 2.0}
    frame = framed(document)
    table, every = rows(frame)
    plated = next(each for each in plated_joints(frame) if each.id == "JC")
    flow = flows(plated, wrenches(frame, plated, table, every))
    taken = pressed(frame, plated, flow)
    for k, link in enumerate(plated.links):
        push = float(flow[0, k, :2] @ np.array(link.cut.inward))
        assert taken[0, k] == pytest.approx(0.5 * max(push, 0.0) * np.array(link.cut.inward), abs=1e-9)
    assert taken.any()


@pytest.mark.parametrize("at", [700.0, 1350.0, 1499.0, 1501.0, 2222.0])
def test_a_splice_passes_what_a_beam_has_there(framed, at):
    """A tie under a uniform load q: M = q x (L − x)/2 and V = q (L/2 − x) are met between stations too."""
    document = plating.pulled_tie(1.0, at_mm=at)
    document["actions"][0]["loads"] = [{"member": "T", "line_kn_per_m": 2.0, "along": "member", "direction": "down"}]
    frame = framed(document)
    table, every = rows(frame)
    (plated,) = plated_joints(frame)
    left, right = wrenches(frame, plated, table, every)[0]
    assert left == pytest.approx(-right, abs=1e-6)
    assert right[1] == pytest.approx(2.0 * (1500 - at), abs=1e-6)
    assert right[2] == pytest.approx(-2.0 * at * (3000 - at) / 2, rel=1e-9)
