"""An HTML page taken apart by the parser of the standard library, for tests."""

from dataclasses import dataclass, field
from html.parser import HTMLParser
from typing import Final

_VOID: Final = frozenset({"meta", "link", "br", "hr", "img", "input"})


@dataclass(slots=True)
class Node:
    """An element with what is in it."""

    tag: str
    attributes: dict[str, str]
    children: list["Node"] = field(default_factory=list)
    texts: list[str] = field(default_factory=list)

    def all(self, *tags: str) -> list["Node"]:
        """Every element within it that has one of the tags, in order; all if none."""
        found = []
        for child in self.children:
            if not tags or child.tag in tags:
                found.append(child)
            found += child.all(*tags)
        return found

    @property
    def text(self) -> str:
        """All text in it, blanks as one."""
        return " ".join(" ".join(self.texts).split())


class _Builder(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.root = Node("", {})
        self.open = [self.root]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        node = Node(tag, {key: value or "" for key, value in attrs})
        self.open[-1].children.append(node)
        if tag not in _VOID:
            self.open.append(node)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        node = Node(tag, {key: value or "" for key, value in attrs})
        self.open[-1].children.append(node)

    def handle_endtag(self, tag: str) -> None:
        closed = self.open.pop()
        assert closed.tag == tag, f"{closed.tag} is closed by {tag}"

    def handle_data(self, data: str) -> None:
        for node in self.open:
            node.texts.append(data)


def parsed(page: str) -> Node:
    """Take a page apart; every element must be closed by its own end tag."""
    builder = _Builder()
    builder.feed(page)
    builder.close()
    assert builder.open == [builder.root]
    return builder.root


def cells(table: Node) -> list[list[str]]:
    """The cells of a table row by row, its head first."""
    return [[cell.text for cell in row.all("th", "td")] for row in table.all("tr")]
