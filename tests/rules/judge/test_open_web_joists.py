"""Open-web joists as frames: end bays with horns, openings without webs, top-hung ends, and half the floor loaded; by hand and by equilibrium."""

from __future__ import annotations

from itertools import pairwise

import pytest

CHORD = {"section": {"b_mm": 97, "h_mm": 47}, "grade": "C24"}
BAY, UP, BAYS = 600.0, 207.0, 8
DOWN = {"along": "member", "direction": "down"}


def floor_load(free=True, line=1.0, member="TOP"):
    loads = [{"member": member, "line_kn_per_m": line, **DOWN}]
    return {"id": "floor", "nature": "imposed", "category": "A", "duration": "medium", "free": free, "loads": loads}


def joist(document, *, without=(), horn=0.0, hung=False, bearing_at_web=False, actions=()):
    """Chords 207 mm apart, eight bays of 600 mm, posts over the ends, zigzag webs W1 to W16; `without`: webs left out; horn: the bearing
    stands so far beyond the last web, or under it while the chord goes on (bearing_at_web); hung: on the top chord."""
    foot, top = [f"B{i}" for i in range(BAYS + 1)], [f"T{i}" for i in range(BAYS)]
    places = {name: (BAY * i, 0.0) for i, name in enumerate(foot)} | {name: (BAY * (i + 0.5), UP) for i, name in enumerate(top)}
    places |= {"E1": (0.0, UP), "E2": (BAY * BAYS, UP)}
    feet, tops = foot, ["E1", *top, "E2"]
    if horn:
        level = UP if hung else 0.0
        places |= {"H1": (-horn, level), "H2": (BAY * BAYS + horn, level)}
        feet, tops = (feet, ["H1", *tops, "H2"]) if hung else (["H1", *feet, "H2"], tops)
    pairs = [pair for i in range(BAYS) for pair in ((foot[i], top[i]), (top[i], foot[i + 1]))]
    webs = [CHORD | {"id": f"W{n}", "role": "web", "nodes": list(pair)} for n, pair in enumerate(pairs, 1) if f"W{n}" not in without]
    posts = [CHORD | {"id": f"P{n}", "role": "post", "nodes": [f"B{0 if n == 1 else BAYS}", f"E{n}"]} for n in (1, 2)]
    chords = [CHORD | {"id": "BOT", "role": "bottom-chord", "nodes": feet}, CHORD | {"id": "TOP", "role": "top-chord", "nodes": tops}]
    at = ("H1", "H2") if horn and not bearing_at_web else (("E1", "E2") if hung else ("B0", f"B{BAYS}"))
    seat = {"on": "hanger" if hung else "masonry", "length_mm": 75}
    supports = [{"id": f"S{n}", "node": at[n - 1], "holds": ["x", "y"] if n == 1 else ["y"], "seat": seat} for n in (1, 2)]
    return document | {
        "component_type": "open-web-joist", "spacing_mm": 400, "self_weight": False,
        "nodes": [{"id": name, "x_mm": x, "y_mm": y} for name, (x, y) in places.items()],
        "members": [*chords, *posts, *webs], "supports": supports, "actions": list(actions),
    }  # fmt: skip


def stations(analysed, frame, member, action):
    report = analysed(frame)
    members = report["response"]["members"] if "response" in report else report["members"]
    return next(each["stations"] for each in members if each["member"] == member and each["action"] == action)


def near(stations, at, side=0.0):
    """The station at a place, or the one next to it on a side."""
    return min(stations, key=lambda each: (abs(each["at_mm"] - at), -side * each["m_knm"]))


MIDDLE = ("W8", "W9")
"""Both webs at the bottom joint in mid-span: an opening over two bays below, between T3 and T4 above."""


def node_loads(left):
    """1 kN on two top joints left of the middle, and what the other half carries."""
    return {"id": "half", "nature": "imposed", "category": "A", "duration": "medium", "loads": [{"node": n, "y_kn": -1.0} for n in left]}


def test_the_chords_carry_the_shear_of_an_opening_bent_at_both_ends(document, analysed):
    """Loads at T0 and T1 (300 and 900 mm of 4800): R2 = (300 + 900)/4800 = 0.25 kN is the shear through the opening between the top joints
    T3 (2100) and T4 (2700) and the bottom joints B3 (1800) and B5 (3000). Cut there, the shears of the two chords make up V exactly. By
    1/a³ the shorter chord takes 8/9 of it, which with stiff ends bends it by 8/9·0.25·0.6/2 = 0.0667 kNm."""
    frame = joist(document, without=MIDDLE, actions=[node_loads(["T0", "T1"])])
    top, bottom = (stations(analysed, frame, name, "half") for name in ("TOP", "BOT"))
    inside = [each for each in top if 2110.0 < each["at_mm"] < 2690.0]
    below = [each for each in bottom if 2110.0 < each["at_mm"] < 2690.0]
    assert {round(abs(a["v_kn"] + b["v_kn"]), 6) for a in inside[:3] for b in below[:3]} == {0.25}
    ends = [abs(near(top, at)["m_knm"]) for at in (2100.0, 2700.0)]
    lower = [abs(near(bottom, at)["m_knm"]) for at in (1800.0, 3000.0)]
    assert sum(ends) / 0.6 + sum(lower) / 1.2 == pytest.approx(0.25, rel=1e-6), "V a, shared by the ends of both chords"
    assert sum(ends) / 2 == pytest.approx(8 / 9 * 0.25 * 0.6 / 2, rel=0.1)


def test_an_even_opening_shares_its_shear_evenly(document, analysed):
    """One diagonal left out: between B4 and B5 below, T3 and T4 above, both 600 mm. V = 0.25 kN, V·a/4 = 0.0375 kNm at every end."""
    frame = joist(document, without=("W9",), actions=[node_loads(["T0", "T1"])])
    top, bottom = (stations(analysed, frame, name, "half") for name in ("TOP", "BOT"))
    ends = [abs(near(top, at)["m_knm"]) for at in (2100.0, 2700.0)] + [abs(near(bottom, at)["m_knm"]) for at in (2400.0, 3000.0)]
    assert sum(ends) == pytest.approx(0.25 * 0.6, rel=1e-6)
    assert sum(ends) / 4 == pytest.approx(0.0375, rel=1e-6)
    assert ends == pytest.approx([0.0375] * 4, rel=0.35)


ABOVE = ("W7", "W8")
"""Both webs at a top joint beside mid-span: an opening over one bay of the bottom chord."""


def test_half_the_floor_governs_at_an_opening(document, checked, found):
    """Fully loaded there is next to no shear in mid-span; with the load free, the half-loaded floor bends the chord harder there."""

    def uses(without):
        frames = [joist(document, without=without, actions=[floor_load(free)]) for free in (False, True)]
        return [found(checked(frame), "eurocode-timber/bending-with-tension", "BOT")["utilisation"] for frame in frames]

    fixed, free = uses(ABOVE)
    assert free > 1.05 * fixed
    whole, halves = uses(())
    assert halves == pytest.approx(whole, rel=0.05), "without an opening it hardly matters"


def test_half_the_floor_governs_the_webs_in_the_middle(document, checked, found):
    fixed, free = (
        found(checked(joist(document, actions=[floor_load(each)])), "eurocode-timber/compression", "W9") for each in (False, True)
    )
    assert free["demand"]["value"] > 1.5 * fixed["demand"]["value"]


def test_a_horn_bends_the_chord_at_the_bearing(document, analysed, checked, found):
    """The bearing 90 mm beyond the last web: R = 1 kN/m · 4.8 m / 2 = 2.4 kN shears the bottom chord and bends it with R·0.09 = 0.216 kNm."""
    frame = joist(document, horn=90.0, actions=[floor_load(False)])
    bottom = stations(analysed, frame, "BOT", "floor")
    horn = [each for each in bottom if each["at_mm"] < 89.0]
    assert abs(horn[1]["v_kn"]) == pytest.approx(2.4, rel=1e-6)
    assert abs(near(bottom, 90.0, side=1.0)["m_knm"]) == pytest.approx(0.216, rel=1e-6)
    shear = found(checked(frame), "eurocode-timber/shear", "BOT")
    assert shear["utilisation"] == pytest.approx(1.5 * 1.5 * 2400 / (0.67 * 97 * 47) / (0.8 * 4.0 / 1.3), rel=1e-6)


def test_a_bearing_off_its_joint_bends_the_chord(document, checked, found):
    """The reaction stands at the middle of the bearing: 90 mm off the joint it bends the chord, which a reaction at the joint does not."""
    frames = [joist(document, horn=120.0, bearing_at_web=True, actions=[floor_load(False)]) for _ in range(2)]
    for support, off in zip(frames[1]["supports"], (-90.0, 90.0), strict=True):
        support["seat"] = support["seat"] | {"offset_mm": [off, 0.0]}
    there, off = (found(checked(each), "eurocode-timber/shear", "BOT")["utilisation"] for each in frames)
    assert off > there


def test_a_top_hung_end_loads_the_top_chord(document, analysed):
    """Hung 60 mm beyond the post: R = 2.4 kN less nothing shears the top chord there, and bends it with 0.144 kNm less the load on the horn."""
    frame = joist(document, horn=60.0, hung=True, actions=[floor_load(False)])
    top = stations(analysed, frame, "TOP", "floor")
    reaction = 1.0 * (BAY * BAYS + 120.0) / 2000.0
    assert abs(top[0]["v_kn"]) == pytest.approx(reaction, rel=1e-6)
    assert abs(near(top, 60.0, side=1.0)["m_knm"]) == pytest.approx(reaction * 0.06 - 1.0 * 0.06**2 / 2.0, rel=1e-6)


def test_an_opening_is_told_with_its_place_and_never_in_a_joist_without_one(document, checked):
    def told(**said):
        return [f for f in checked(joist(document, actions=[floor_load()], **said))["findings"] if f["rule"] == "engine/service-openings"]

    assert told() == []
    [one] = told(without=MIDDLE)
    assert one["kind"] == "informational"
    assert "between 2100 and 2700 mm" in one["message"]
    assert len(told(without=("W4", "W13"))) == 2


def test_an_opening_is_found_in_chords_of_several_pieces_too(document, checked, found):
    """The bottom chord in two pieces that meet at its fourth node: the opening over the bearing's side is still an opening."""
    frame = joist(document, without=("W2",), actions=[floor_load()]) | {"codes": {"packs": ["eurocode-timber", "workshop-practice"]}}
    chord = next(each for each in frame["members"] if each["id"] == "BOT")
    second = {**chord, "id": "BOT2", "nodes": chord["nodes"][3:]}
    frame["members"] = [*frame["members"], second]
    chord["nodes"] = chord["nodes"][:4]
    report = checked(frame)
    assert found(report, "workshop-practice/openings-away-from-bearings")["kind"] == "review"
    assert [each["where"]["member"] for each in report["findings"] if each["rule"] == "engine/service-openings"] != []


@pytest.mark.parametrize(("without", "kind"), [((), "notApplicable"), (MIDDLE, "pass"), (("W2",), "review"), (("W4",), "review")])
def test_openings_keep_away_from_the_bearings(document, checked, found, without, kind):
    report = checked(
        joist(document, without=without, actions=[floor_load()]) | {"codes": {"packs": ["eurocode-timber", "workshop-practice"]}}
    )
    assert found(report, "workshop-practice/openings-away-from-bearings")["kind"] == kind


def test_a_wider_opening_bends_its_chord_more(document, checked, found):
    uses = [
        found(checked(joist(document, without=without, actions=[floor_load()])), "eurocode-timber/bending-with-tension", "BOT")[
            "utilisation"
        ]
        for without in ((), ABOVE, ("W5", "W6", *ABOVE))
    ]
    assert all(after > 1.1 * before for before, after in pairwise(uses))


def test_a_web_off_the_chord_s_line_turns_the_chord(document, analysed):
    """Pulled webs meet the bottom chord 30 mm above its line at B2: what they push along it, ΔN, jumps its moment there by ΔN·e, shared
    between the bays on either side."""
    frame = joist(document, actions=[node_loads(["T0", "T1"])])
    for web in frame["members"]:
        if web["id"] in ("W4", "W5"):
            web["offset_mm"] = {"end" if web["id"] == "W4" else "start": [0, 30]}
    bottom = stations(analysed, frame, "BOT", "half")
    here = [each for each in bottom if abs(each["at_mm"] - 1200.0) < 1.0]
    before, after = here[0], here[-1]
    jump = after["m_knm"] - before["m_knm"]
    assert abs(after["n_kn"] - before["n_kn"]) > 0.5
    assert abs(jump) == pytest.approx(abs(after["n_kn"] - before["n_kn"]) * 0.03, rel=1e-6)
    assert before["m_knm"] * after["m_knm"] < 0.0, "shared between both bays"
