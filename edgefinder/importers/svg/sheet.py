"""Style sheets: which of their rules apply to which element.

They are read by tinycss2 and cssselect2, which a drawing without a sheet does not wait
for. The drawing is read as it looks on a screen. Nothing is fetched from elsewhere, and
a sheet that would be compared with the drawing without end is refused.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any, Final
from xml.etree import ElementTree

import tinycss2
from cssselect2 import ElementWrapper, Matcher, SelectorError, compile_selector_list

from edgefinder.errors import DrawingError
from edgefinder.importers.svg.declarations import (
    PROPERTIES,
    Declaration,
    read_declaration,
)
from edgefinder.importers.svg.findings import Tally
from edgefinder.importers.svg.prefixes import SVG_NAMESPACE
from edgefinder.importers.svg.units import shortened
from edgefinder.importers.svg.xml import Document, Element

MAX_SHEET_CHARACTERS: Final = 2**19
"""Hundreds of times what drawing programs write. The parser goes character by
character: more would take longer than a person waits."""
MAX_SELECTOR_CHARACTERS: Final = 1000
"""Longer ones would end in the interpreter's own limits of nesting."""
MAX_STEPS: Final = 2_000_000
"""Comparisons of an element with a selector, and steps from it to its neighbours on the
way: some seconds."""

_SEEN: Final = frozenset({"all", "screen", "only screen", "only all", ""})
_UNSEEN: Final = frozenset({"print", "only print", "speech", "only speech", "not all"})
_HARMLESS: Final = frozenset({"charset", "font-face"})
"""At-rules that neither move nor hide an outline."""
_UNREADABLE: Final = (
    SelectorError,
    # What the library does on the way to one: selectors that it does not know at all,
    # and those too deep for the interpreter.
    NotImplementedError,
    RecursionError,
    SyntaxError,
    MemoryError,
)


class Sheet:
    """The rules of all style elements of a drawing.

    Parameters
    ----------
    document : Document
    styles : sequence of Element
        Its style elements.
    tally : Tally
        Told of what is not read.

    Raises
    ------
    DrawingError
        If they are longer than `MAX_SHEET_CHARACTERS`.

    References
    ----------
    SVG 2, section 6.2, "Inline style sheets: the style element"; Selectors 4; CSS
    Cascading 4, section 6.
    """

    def __init__(
        self, document: Document, styles: Sequence[Element], tally: Tally
    ) -> None:
        size = sum(len(style.text) for style in styles)
        if size > MAX_SHEET_CHARACTERS:
            raise DrawingError(
                f"{tally.name}: line {styles[0].line}: has style sheets of {size} "
                f"characters, more than {MAX_SHEET_CHARACTERS}; save it with "
                "presentation attributes instead"
            )
        self._budget = _Budget(tally.name, styles[0].line, MAX_STEPS)
        self._matcher = Matcher()
        self._nodes = _nodes(document, self._budget)
        for style in styles:
            _Reader(self._matcher, self._budget, tally, style.line).read(style)

    def declarations(self, element: Element) -> Iterator[Declaration]:
        """Give what the rules declare for an element, the weightiest last.

        Raises
        ------
        DrawingError
            If comparing has taken more than `MAX_STEPS`.
        """
        for _, _, pseudo_element, declared in self._matcher.match(self._nodes[element]):
            if pseudo_element is None:
                yield from declared


@dataclass(slots=True)
class _Budget:
    """Counts comparisons, so that no sheet takes for ever."""

    name: str
    line: int
    left: int

    def take(self, count: int = 1) -> None:
        self.left -= count
        if self.left < 0:
            raise DrawingError(
                f"{self.name}: line {self.line}: the style sheet takes more than "
                f"{MAX_STEPS} comparisons; save it with presentation attributes instead"
            )


class _Siblings(list[ElementTree.Element]):
    """Elements side by side, which cssselect2 goes through to count some of them."""

    def __init__(self, parent: ElementTree.Element, budget: _Budget) -> None:
        super().__init__(parent)
        self._budget = budget

    def __iter__(self) -> Iterator[ElementTree.Element]:
        self._budget.take(len(self))
        return super().__iter__()

    def __getitem__(self, which: Any) -> Any:
        if isinstance(which, slice):
            self._budget.take(len(self))
        return super().__getitem__(which)


class _Node(ElementWrapper):  # type: ignore[misc]
    """An element as cssselect2 sees it; each way from it to others is counted."""

    budget: _Budget
    children: "list[_Node]"

    @property
    def ancestors(self) -> "Iterator[_Node]":
        return self._along("parent")

    @property
    def previous_siblings(self) -> "Iterator[_Node]":
        return self._along("previous")

    def iter_children(self) -> "Iterator[_Node]":
        for child in self.children:
            self.budget.take()
            yield child

    def _along(self, way: str) -> "Iterator[_Node]":
        node = getattr(self, way)
        while node is not None:
            self.budget.take()
            yield node
            node = getattr(node, way)


def _nodes(document: Document, budget: _Budget) -> dict[Element, _Node]:
    """Return every element of a drawing as cssselect2 wants it."""
    namespace = f"{{{SVG_NAMESPACE}}}" if document.has_namespace else ""

    def tree(element: Element) -> ElementTree.Element:
        one = ElementTree.Element(namespace + element.tag, dict(element.attributes))
        one.text = element.text or None
        return one

    root = _Node(tree(document.root), None, 0, None, in_html_document=False)
    nodes = {document.root: root}
    waiting = [document.root]
    while waiting:
        element = waiting.pop()
        node = nodes[element]
        children = tuple(element.children)
        node.etree_element.extend(map(tree, children))
        node.budget = budget
        node.etree_children = _Siblings(node.etree_element, budget)
        node.children = []
        previous = None
        for index, child in enumerate(children):
            previous = _Node(
                list.__getitem__(node.etree_children, index),
                node,
                index,
                previous,
                in_html_document=False,
            )
            node.children.append(previous)
            nodes[child] = previous
        waiting.extend(children)
    return nodes


@dataclass(slots=True)
class _Reader:
    """Reads one style element into a matcher."""

    matcher: Matcher
    budget: _Budget
    tally: Tally
    line: int
    namespaces: dict[str | None, str] = field(default_factory=dict)

    def read(self, style: Element) -> None:
        kind = style.attributes.get("type", "").strip().lower()
        if kind not in {"", "text/css"}:
            self._skip(f"style of the type {kind}")
        elif self._is_seen(style.attributes.get("media", ""), "style"):
            self._rules(_parsed(style.text))

    def _rules(self, rules: Sequence[Any]) -> None:
        for rule in rules:
            try:
                if rule.type == "qualified-rule":
                    self._style_rule(rule)
                elif rule.type == "at-rule":
                    self._at_rule(rule)
            except RecursionError:
                self._skip("brackets in brackets without end")

    def _style_rule(self, rule: Any) -> None:
        prelude = tinycss2.serialize(rule.prelude).strip()
        declared = self._declared(rule.content, prelude)
        try:
            if len(prelude) > MAX_SELECTOR_CHARACTERS:
                raise SelectorError("too long")
            selectors = compile_selector_list(prelude, self.namespaces)
        except _UNREADABLE:
            self._skip(prelude)
            return
        for selector in selectors:
            selector.test = self._counted(selector.test)
            self.matcher.add_selector(selector, declared)

    def _counted(self, test: Callable[[_Node], bool]) -> Callable[[_Node], bool]:
        def counted(node: _Node) -> bool:
            self.budget.take()
            return test(node)

        return counted

    def _declared(self, content: Sequence[Any], prelude: str) -> list[Declaration]:
        declared = []
        for one in tinycss2.parse_blocks_contents(
            content, skip_comments=True, skip_whitespace=True
        ):
            if one.type == "declaration":
                if one.lower_name in PROPERTIES:
                    value = tinycss2.serialize(one.value).strip()
                    read = read_declaration(one.lower_name, value, one.important)
                    declared += [] if read is None else [read]
            elif one.type in {"qualified-rule", "at-rule"}:
                self._skip(f"rule inside {prelude}")
        return declared

    def _at_rule(self, rule: Any) -> None:
        name = rule.lower_at_keyword
        prelude = tinycss2.serialize(rule.prelude).strip()
        if name == "import":
            self.tally.add("outside-sheet", self.line, "style sheet")
        elif name == "namespace":
            self._namespace(rule.prelude)
        elif name == "media" and rule.content is not None:
            if self._is_seen(prelude, "@media"):
                self._rules(
                    tinycss2.parse_rule_list(
                        rule.content, skip_comments=True, skip_whitespace=True
                    )
                )
        elif name not in _HARMLESS:
            self._skip(f"@{rule.at_keyword} {prelude}".strip())

    def _is_seen(self, media: str, where: str) -> bool:
        """Whether rules are meant for the screen; tell if they are not, or may be."""
        kinds = {" ".join(one.split()).lower() for one in media.split(",")}
        if kinds & _SEEN:
            return True
        if kinds <= _UNSEEN:
            self.tally.add("print-rule", self.line, "part")
        else:
            self._skip(f"{where} {media}")
        return False

    def _namespace(self, prelude: Sequence[Any]) -> None:
        parts = [one for one in prelude if one.type not in {"whitespace", "comment"}]
        prefix = parts[0].value if parts and parts[0].type == "ident" else None
        if parts and parts[-1].type in {"string", "url"}:
            self.namespaces[prefix] = parts[-1].value

    def _skip(self, what: str) -> None:
        self.tally.add("style-rule", self.line, "rule", f'"{shortened(what)}"')


def _parsed(text: str) -> Sequence[Any]:
    rules: Sequence[Any] = tinycss2.parse_stylesheet(
        text, skip_comments=True, skip_whitespace=True
    )
    return rules
