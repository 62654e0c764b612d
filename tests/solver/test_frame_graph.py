"""Panels of the plane graph and triangulation."""

import numpy as np
import pytest

from solver import Frame, Piece, Support, analyse_all, divided, fully_triangulated, panels

SQUARE = np.array([(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0), (2.0, 0.0), (0.5, 0.5)])
RING = [(0, 1), (1, 2), (2, 3), (3, 0)]


@pytest.mark.parametrize(
    ("edges", "faces"),
    [
        (RING, [(0, 1, 2, 3)]),
        ([*RING, (0, 2)], [(0, 1, 2), (0, 2, 3)]),
        ([*RING, (1, 4)], [(0, 1, 2, 3)]),  # the dangling edge is pruned
        ([*RING, (1, 4), (4, 2)], [(0, 1, 2, 3), (1, 4, 2)]),
        ([*RING, (0, 5), (5, 2), (5, 1), (5, 3)], [(0, 1, 5), (0, 5, 3), (1, 2, 5), (2, 3, 5)]),
        ([(0, 1), (1, 2)], []),
        ([], []),
    ],
)
def test_panels(edges, faces):
    assert panels(SQUARE, edges) == faces


def test_euler_counts_the_faces(workloads):
    """Bounded faces of a connected plane graph without dangling edges: E - V + 1."""
    for make, loose in ((workloads.fink, 2), (workloads.joist, 0), (workloads.attic, 2)):
        frame, _, _ = make()
        edges = [edge for p in frame.pieces for edge in zip(p.nodes[:-1], p.nodes[1:], strict=True)]
        assert len(panels(frame.xy, edges)) == (len(edges) - loose) - (len(frame.xy) - loose) + 1


def test_triangulation(workloads):
    assert fully_triangulated(workloads.fink()[0])
    assert fully_triangulated(workloads.joist()[0])
    assert not fully_triangulated(workloads.attic()[0])
    assert not fully_triangulated(workloads.lattice(9)[0])
    assert not fully_triangulated(Frame(SQUARE[[0, 1]], (Piece((0, 1), 1.0, 1.0),), (Support(0, x=True),)))


def test_a_node_inside_a_piece_makes_no_corner(workloads):
    frame = workloads.fink()[0]
    assert fully_triangulated(divided(frame, 2))


def test_divided_keeps_nodes_and_needs_a_part(workloads):
    frame = workloads.fink()[0]
    fine = divided(frame, 3)
    assert np.array_equal(fine.xy[: len(frame.xy)], frame.xy)
    assert len(fine.pieces[0].nodes) == 3 * (len(frame.pieces[0].nodes) - 1) + 1
    with pytest.raises(ValueError, match="1 or more"):
        divided(frame, 0)


def test_identical_frames_share_a_response(workloads):
    one, other = workloads.fink(), workloads.fink(9500.0)
    answers = analyse_all([(m[0], m[1]) for m in (one, other, workloads.fink())])
    assert answers[0] is answers[2]
    assert answers[0] is not answers[1]
