"""Reads a page as a browser would, strictly: every element that is opened is closed, and in its turn."""

from html.parser import HTMLParser


class Page(HTMLParser):
    """What is still open, and the words."""

    def __init__(self, content: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.text = ""
        self.feed(content)
        self.close()

    def handle_starttag(self, tag: str, _attributes: list[tuple[str, str | None]]) -> None:
        if tag not in ("meta", "br"):
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.text += data
