"""The one name outside code imports."""

import datetime
import json

import pytest

import birdsmouth
from rules.subject.faults import DesignRefused
from service.demo import read_design
from service.reading import BodyRefused

DAY = datetime.date(2026, 11, 25)


@pytest.fixture(scope="module")
def library() -> object:
    return birdsmouth.load_library()


@pytest.mark.parametrize("form", ["bytes", "text", "values"])
def test_check_takes_bytes_text_or_values_and_returns_the_report(form: str, library: birdsmouth.Library) -> None:
    body = read_design("solid-joist")
    design = {"bytes": body, "text": body.decode(), "values": json.loads(body)}[form]
    report = birdsmouth.check(design, library=library, today=DAY)
    assert report["verdict"] == "pass"
    assert report["receipt"]["as_of"] == "2026-11-25"


def test_check_reads_the_packs_and_the_day_itself() -> None:
    report = birdsmouth.check(read_design("two-reasons"))
    assert report["verdict"] == "fail"
    assert abs(datetime.date.fromisoformat(report["receipt"]["as_of"]) - datetime.datetime.now(datetime.UTC).date()) <= datetime.timedelta(
        days=1
    )


@pytest.mark.parametrize(("design", "refusal"), [("{", BodyRefused), ("{}", DesignRefused), ({"reference": float("nan")}, BodyRefused)])
def test_check_refuses_with_faults(design: object, refusal: type[Exception], library: birdsmouth.Library) -> None:
    with pytest.raises(refusal) as caught:
        birdsmouth.check(design, library=library, today=DAY)
    assert caught.value.faults


def test_everything_it_promises_is_there() -> None:
    assert {"check", "__version__", "Rule", "quantity", "load_library"} <= set(birdsmouth.__all__)
    assert all(getattr(birdsmouth, name) is not None for name in birdsmouth.__all__)
    assert set(birdsmouth.__all__) <= set(dir(birdsmouth))


@pytest.mark.parametrize("name", ["flask", "_library_names", "Client2"])
def test_what_it_does_not_promise_is_an_attribute_error(name: str) -> None:
    with pytest.raises(AttributeError, match=name):
        getattr(birdsmouth, name)
