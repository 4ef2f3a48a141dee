"""Reads an HTML document strictly, by the standard library's parser: a witness of its own."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache
from html.parser import HTMLParser

VOID = frozenset({"meta", "br", "img", "link", "input", "hr", "area", "base", "col", "source"})


@dataclass
class Element:
    """One element with what is in it."""

    tag: str
    attributes: dict[str, str]
    children: list[Element] = field(default_factory=list)
    texts: list[str] = field(default_factory=list)
    """Its own text and that of what is in it, in order."""

    def all(self, *tags: str) -> list[Element]:
        """Every element of these kinds within, in order."""
        found = []
        for child in self.children:
            if child.tag in tags:
                found.append(child)
            found += child.all(*tags)
        return found

    @property
    def text(self) -> str:
        """All text within, spaces made one."""
        return " ".join(" ".join(self.texts).split())


class _Strict(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.root = Element("", {})
        self.open = [self.root]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        names = [name for name, _ in attrs]
        assert len(names) == len(set(names)), f"<{tag}> has an attribute twice: {names}"
        element = Element(tag, {name: value or "" for name, value in attrs})
        self.open[-1].children.append(element)
        if tag not in VOID:
            self.open.append(element)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in VOID:
            self.handle_endtag(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open[-1].tag == tag, f"</{tag}> closes <{self.open[-1].tag}>"
        self.open.pop()

    def handle_data(self, data: str) -> None:
        for element in self.open:
            element.texts.append(data)


@cache
def page_of(html: str) -> Element:
    """The tree of a document, read once; nobody changes it.

    Raises AssertionError where a tag is not closed in its order.
    """
    parser = _Strict()
    parser.feed(html)
    parser.close()
    assert parser.open == [parser.root], f"not closed: {[item.tag for item in parser.open[1:]]}"
    return parser.root
