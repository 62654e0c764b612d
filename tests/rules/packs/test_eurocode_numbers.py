"""Numbers of the Eurocode packs: what was printed where they were read, and laws any such table obeys."""

from __future__ import annotations

import itertools

import pytest

from rules.subject.actions import DURATIONS, NATURES

KINDS = ("solid-timber", "glulam", "lvl")
CATEGORIES = ("A", "A1", "B", "C", "C3", "D", "D2", "E", "E1", "F", "G", "loft", "tank", "ceiling-person")


@pytest.fixture(scope="module")
def numbers(shipped):
    """The value of a name in a pack; keys look it up in its table."""

    def find(pack: str, name: str, *keys):
        value = next(value for value in shipped.pack(pack).values if value.name == name)
        return value.table.look_up(keys) if keys else value.number

    return find


@pytest.mark.parametrize(
    ("pack", "name", "keys", "number", "source"),
    [
        ("eurocode-timber", "k_mod", ("solid-timber", "1", "permanent"), 0.60, "LVL Handbook Europe 2025, image 118"),
        ("eurocode-timber", "k_mod", ("glulam", "2", "medium"), 0.80, "LVL Handbook Europe 2025, image 118"),
        ("eurocode-timber", "k_mod", ("lvl", "3", "instantaneous"), 0.90, "LVL Handbook Europe 2025, image 118"),
        ("eurocode-timber", "k_def", ("solid-timber", "2"), 0.80, "LVL Handbook Europe 2025, image 118"),
        ("eurocode-timber", "beta_c", ("solid-timber",), 0.2, "LVL Handbook Europe 2025, image 198"),
        ("eurocode-timber", "k_m", ("lvl",), 0.7, "LVL Handbook Europe 2025, image 122"),
        ("eurocode-timber", "gamma_m", ("lvl", None), 1.2, "LVL Handbook Europe 2025, image 181"),
        ("eurocode-timber", "lateral_torsion_factor", (), 0.78, "a verification case citing Benoit and others, example 2.3.2"),
        ("uk-national", "gamma_m", ("solid-timber", "piece"), 1.3, "https://www.eurocode.us/structural-timber-design/j-upz.html"),
        ("uk-national", "limit_w_net_fin", ("brittle",), 250.0, "Technical Guidance Note 19, Institution of Structural Engineers, 2013"),
        ("uk-national", "limit_w_net_fin", ("none",), 150.0, "Technical Guidance Note 19, Institution of Structural Engineers, 2013"),
    ],
)
def test_as_printed(numbers, pack, name, keys, number, source):
    assert numbers(pack, name, *keys) == number, source


@pytest.mark.parametrize("pack", ["eurocode-basis", "eurocode-nordic-snow"])
def test_combination_frequent_and_quasi_permanent_factors_fall(numbers, pack):
    for nature, category, altitude in [
        *(("imposed", each, None) for each in CATEGORIES),
        ("roof-imposed", "H", None),
        ("snow", None, 200.0),
        ("snow", None, 1500.0),
        ("wind", None, None),
    ]:
        factors = [numbers(pack, name, nature, category, altitude) for name in ("psi_0", "psi_1", "psi_2")]
        assert 1.0 >= factors[0] >= factors[1] >= factors[2] >= 0.0, (nature, category, factors)


def test_what_is_not_stated_stays_undecided(numbers):
    assert numbers("eurocode-basis", "psi_0", "imposed", None, None) is None
    assert numbers("eurocode-basis", "psi_0", "snow", None, None) is None
    assert numbers("eurocode-basis", "duration", "imposed", None) is None
    assert numbers("uk-national", "gamma_m", "solid-timber", None) is None
    assert numbers("eurocode-basis", "psi_0", "imposed", "H", None) is None
    assert numbers("eurocode-timber", "k_mod", "solid-timber", "1", None) is None


def test_a_maintenance_load_needs_no_category(numbers):
    assert numbers("eurocode-basis", "psi_0", "roof-imposed", None, None) == 0.0
    assert numbers("eurocode-basis", "duration", "roof-imposed", None) == "short"


def test_altitude_turns_at_a_thousand_metres(numbers):
    assert [numbers("eurocode-basis", "psi_0", "snow", None, each) for each in (-3.0, 1000.0, 1000.1)] == [0.5, 0.5, 0.7]


@pytest.mark.parametrize("pack", ["eurocode-basis", "uk-national"])
def test_every_duration_is_one_of_the_five(shipped, pack):
    table = next(value for value in shipped.pack(pack).values if value.name == "duration").table
    assert {result for _, result in table.rows} <= set(DURATIONS)
    assert {row[0] for row, _ in table.rows} == set(NATURES)


def test_stored_goods_last_long_and_people_do_not(numbers):
    for pack in ("eurocode-basis", "uk-national"):
        assert {numbers(pack, "duration", "imposed", each) for each in ("E", "E1", "loft", "tank")} == {"long"}
        assert numbers(pack, "duration", "imposed", "A1") == "medium"
        assert numbers(pack, "duration", "imposed", "ceiling-person") == "short"
    assert [numbers("uk-national", "duration", each, None) for each in ("snow", "wind")] == ["short", "instantaneous"]
    assert [numbers("eurocode-basis", "duration", each, None) for each in ("snow", "wind")] == ["medium", "short"]


def test_longer_loads_and_wetter_timber_are_never_better(numbers):
    for kind in KINDS:
        for service in ("1", "2", "3"):
            by_duration = [numbers("eurocode-timber", "k_mod", kind, service, each) for each in DURATIONS]
            assert by_duration == sorted(by_duration)
        for duration in DURATIONS:
            by_service = [numbers("eurocode-timber", "k_mod", kind, each, duration) for each in ("1", "2", "3")]
            assert by_service == sorted(by_service, reverse=True)
        creep = [numbers("eurocode-timber", "k_def", kind, each) for each in ("1", "2", "3")]
        assert creep == sorted(creep)


def test_a_service_class_may_be_a_number_too(numbers):
    for kind, service in itertools.product(KINDS, (1.0, 2.0, 3.0)):
        assert numbers("eurocode-timber", "k_def", kind, service) == numbers("eurocode-timber", "k_def", kind, f"{service:g}")


def test_the_tipping_factor_has_no_jump(numbers):
    """1, then the straight piece, then 1/λ² meet where the table says, to the two digits the clause prints."""
    start, end, constant, slope = (numbers("eurocode-timber", f"k_crit_{each}") for each in ("start", "end", "constant", "slope"))
    assert constant - slope * start == pytest.approx(1.0, abs=0.005)
    assert constant - slope * end == pytest.approx(1.0 / end**2, abs=0.005)


def test_the_kingdom_overrides_only_what_it_chose(shipped):
    assert {value.name: value.overrides for value in shipped.pack("uk-national").values} == {
        "psi_0": "eurocode-basis",
        "xi": "eurocode-basis",
        "duration": "eurocode-basis",
        "gamma_m": "eurocode-timber",
        "limit_w_net_fin": "eurocode-timber",
        "limit_w_net_fin_cantilever": "eurocode-timber",
        "k_s": "eurocode-timber",
        "k_f_3": "eurocode-timber",
        "k_f": "eurocode-timber",
        "vibration_a_most": "eurocode-timber",
        "vibration_a_factor": "eurocode-timber",
        "vibration_a_exponent": "eurocode-timber",
        "zeta": "eurocode-timber",
        "point_sharing_held": "eurocode-timber",
        "gamma_m_plate_anchorage": "eurocode-timber",
        "gamma_m_plate_steel": "eurocode-timber",
        **dict.fromkeys(
            ("imposed_area", "imposed_point", "roof_imposed_area", "roof_imposed_point", "loft_area", "loft_person", "roof_imposed_extent"),
            "eurocode-basis",
        ),
        **dict.fromkeys(("snow_drifted", "mu_drifted", "drifted_above", "snow_at_obstacles"), "eurocode-basis"),
        **dict.fromkeys(("rho_air", "wind_per_altitude", "z_0", "z_min", "wind_profile_held", "flat_coefficients_held"), "eurocode-basis"),
        **dict.fromkeys(("snow_base", "snow_per_zone", "snow_of_zones", "snow_datum", "snow_altitude")),
    }


def test_the_limits_for_one_kilonewton_and_for_b_join_where_their_pieces_meet(numbers):
    """From memory, so held to their own consistency: 1.8 mm at 4 m on both sides, b = 120 at 1 mm on both sides."""
    assert numbers("uk-national", "vibration_a_factor") / 4000.0 ** numbers("uk-national", "vibration_a_exponent") == pytest.approx(
        1.8, rel=2e-4
    )
    stiff, soft = (
        numbers("eurocode-timber", f"vibration_b_{kind}") - numbers("eurocode-timber", f"vibration_b_{kind}_slope")
        for kind in ("stiff", "soft")
    )
    assert stiff == soft == 120.0


def test_the_safe_end_stands_where_sources_disagree(numbers):
    assert numbers("eurocode-timber", "k_h_max", "lvl") == 1.1
    assert numbers("eurocode-timber", "k_c_90") == 1.0
    assert numbers("uk-national", "gamma_m", "solid-timber", "package") == 2.0


def test_the_names_the_formulas_and_the_judge_rely_on_are_there(shipped):
    names = {value.name for pack in ("eurocode-basis", "eurocode-timber") for value in shipped.pack(pack).values}
    assert names >= {
        *("gamma_g_sup", "gamma_g_inf", "gamma_q", "gamma_g_equ_sup", "gamma_g_equ_inf", "xi", "combination_rule"),
        *("psi_0", "psi_1", "psi_2", "duration", "gravity", "gamma_m", "gamma_m_accidental", "k_mod", "k_def", "k_m", "k_cr"),
        *("beta_c", "slenderness_limit", "k_h_depth", "k_h_exponent", "k_h_max", "k_c_90", "bearing_spread_mm", "shear_form"),
        *("limit_w_inst", "limit_w_net_fin", "limit_w_inst_cantilever", "limit_w_net_fin_cantilever", "lateral_torsion_factor"),
    }
