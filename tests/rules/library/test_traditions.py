"""What a code tradition brings for itself: the values its grades state, what it takes for every design, whether it leaves choices to countries."""

from __future__ import annotations

import datetime

import pytest

from rules.library.choosing import choose
from rules.library.loading import library_of, load_library
from rules.library.reading import PackSource
from rules.subject.material import ReferenceValue
from rules.subject.site import Site

TODAY = datetime.date(2026, 11, 25)
LISTING = "citations:\n  page: {clause: '1', seen: practice}\n"
OAK = "grades:\n  - {id: OAK1, kind: solid-timber, cite: page, properties: {e_0_mean_mpa: 9000.0, bend_mpa: 20.0}}\n"
SAYS = 'reference:\n  - {field: e_0_mean_mpa, symbol: E, what: stiffness}\n  - {field: bend_mpa, symbol: "f_b", what: strength}\n'


@pytest.fixture
def pack(folder, head):
    def make(id, layer="grades", tradition="hill", **files):
        named = {f"{name}.yaml": text for name, text in files.items() if name != "more"}
        text = head(id=id, layer=layer, tradition=tradition) + files.get("more", "")
        return PackSource(folder(id, {"pack.yaml": text, **named}))

    return make


def told(library):
    return [(each.name, fault.line, fault.message) for each in library.broken for fault in each.faults]


def test_a_reference_value_is_asked_for_without_its_unit():
    assert [(each.name, each.unit) for each in (ReferenceValue("f_b_mpa", "F_b", ""), ReferenceValue("rho_k_kg_per_m3", "ρ", ""))] == [
        ("f_b", "N/mm²"),
        ("rho_k", "kg/m³"),
    ]


def test_grades_of_another_pack_are_held_to_what_the_tradition_says(pack):
    odd = LISTING + OAK.replace("bend_mpa", "bent_mpa")
    library = library_of([pack("hill-values", materials=LISTING + SAYS + OAK), pack("other-grades", materials=odd)])
    assert told(library) == [
        ("other-grades", 4, "`bend_mpa` is missing"),
        ("other-grades", 4, "`bent_mpa` is not known here"),
    ]
    assert [each.name for each in library.pack("hill-values").reference] == ["e_0_mean", "bend"]


def test_one_pack_speaks_for_a_tradition(pack):
    library = library_of([pack("hill-values", materials=LISTING + SAYS + OAK), pack("other-grades", materials=LISTING + SAYS + OAK)])
    assert len(told(library)) == 2
    assert all("already says which reference values" in message for _, _, message in told(library))
    apart = library_of(
        [pack("hill-values", materials=LISTING + SAYS + OAK), pack("dale-values", tradition="dale", materials=LISTING + SAYS + OAK)]
    )
    assert told(apart) == []


def test_a_pack_without_such_a_list_may_state_what_it_likes(pack):
    assert told(library_of([pack("hill-grades", materials=LISTING + OAK)])) == []


@pytest.mark.parametrize(("line", "notes"), [("leaves_choices: false\n", 0), ("leaves_choices: true\n", 1), ("", 1)])
def test_a_code_that_is_whole_by_itself_wants_no_national_choices(pack, line, notes):
    library = library_of([pack("hill-code", layer="code", more=line)])
    selection = choose(library, Site(country="US"), "other", TODAY, None)
    assert len([note for note in selection.notes if "national choices" in note]) == notes


def test_what_a_pack_takes_for_every_design_comes_with_it(pack):
    more = 'assumptions:\n  - {pointer: /members, value: 1.0, because: "No system factor is taken.", confirm: engineer}\n'
    selection = choose(library_of([pack("hill-code", layer="code", more=more)]), Site(country="US"), "other", TODAY, None)
    assert [(each.pointer, each.value, each.because, each.confirm) for each in selection.assumptions] == [
        ("/members", 1.0, "No system factor is taken.", "engineer")
    ]


def test_the_eurocode_reference_values_and_choices_stand_in_its_packs():
    selection = choose(load_library(), Site(country="GB"), "cut-roof", TODAY, None)
    assert {"f_m_k", "f_c_90_k", "e_0_05", "rho_k"} <= {each.name for each in selection.reference}
    assert [each.pointer for each in selection.assumptions] == ["/load_sharing", "/supports"]
