"""The page of packs: whole, readable by a stranger, and deaf to what hostile packs put into their words."""

from __future__ import annotations

from html.parser import HTMLParser

import pytest

from rules.library import load_library
from rules.library.catalogue import pack_page
from service.formats.packs_page import render_packs


@pytest.fixture(scope="module")
def library():
    return load_library()


@pytest.fixture(scope="module")
def pages(library):
    return [pack_page(library, pack.id) for pack in library.packs]


class Seen(HTMLParser):
    """Tags and words of a page."""

    def __init__(self, page):
        super().__init__()
        self.tags, self.attributes, self.words = [], [], []
        self.feed(page.decode())

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.attributes += attrs

    def handle_data(self, data):
        self.words.append(data)

    @property
    def text(self):
        return " ".join(" ".join(self.words).split())


def test_every_pack_rule_and_number_stands_there_with_how_far_it_was_seen(library, pages):
    seen = Seen(render_packs(pages))
    for pack in library.packs:
        assert pack.pin in seen.text
        assert " ".join(pack.what.split()) in seen.text
        assert ("id", pack.id) in seen.attributes
        for rule in (*pack.rules, *pack.declared):
            assert rule.id in seen.text
            assert " ".join(rule.title.split()) in seen.text
        for value in pack.values:
            assert " ".join(value.what.split()) in seen.text
    assert "from memory" in seen.text
    assert "common practice, no published source" in seen.text


def test_it_says_where_and_since_when(pages):
    text = Seen(render_packs(pages)).text
    assert "Holds in NZ, from 2011-04-01" in text
    assert "Holds in GB-ENG, from 2013-07-01" in text


def test_broken_packs_are_named_with_what_is_wrong(pages):
    text = Seen(render_packs(pages, [{"name": "lead", "faults": ["lead/pack.yaml:3:1: edition is missing"]}])).text
    assert "Found and not usable" in text
    assert "lead/pack.yaml:3:1: edition is missing" in text
    assert "Found and not usable" not in Seen(render_packs(pages)).text


def test_hostile_words_stay_words(pages):
    hostile = "</style><script>alert(1)</script><img src=//elsewhere onerror=x>\x1b[2J"
    first, *others = pages
    page = render_packs(
        [{**first, "title": hostile, "what": hostile, "not_covered": [hostile]}, *others], [{"name": hostile, "faults": [hostile]}]
    )
    seen = Seen(page)
    assert not {"script", "img"} & set(seen.tags)
    assert b"\x1b" not in page
    assert {value for name, value in seen.attributes if name == "href"} == {f"#{each['id']}" for each in pages}


def test_it_is_answered_to_who_asks_for_a_page(client):
    page = client.get("/v1/packs", headers={"Accept": "text/html,application/xhtml+xml;q=0.9,*/*;q=0.8"})
    assert (page.status_code, page.mimetype) == (200, "text/html")
    assert page.headers["Content-Security-Policy"].startswith("default-src 'none'; style-src 'sha256-")
    assert client.get("/v1/packs").mimetype == "application/json"
    assert client.get("/v1/packs", headers={"Accept": "text/html"}, query_string={"page": "2"}).status_code == 400
