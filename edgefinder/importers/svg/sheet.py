"""Style attributes, and the simple rules of a style sheet.

Drawing programs write ``.st0{fill:none;stroke:#000}`` and little else. Selectors of a
tag, classes and an id are honoured; what needs more (children, states, media) is
counted and reported, not guessed.
"""

import functools
import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from edgefinder.importers.svg.xml import Element

Declarations = Mapping[str, str]
"""Values by property, in lower case."""

_SIMPLE: Final = re.compile(r"(\*|[a-zA-Z][\w-]*)?((?:[.#][a-zA-Z_][\w-]*)*)")
_PART: Final = re.compile(r"([.#])([\w-]+)")
_HARMLESS: Final = frozenset({"@charset", "@font-face", "@namespace"})
_IMPORTANT: Final = re.compile(r"\s*!\s*important\s*$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Declaration:
    """One property with its value."""

    name: str
    value: str
    is_important: bool


@dataclass(frozen=True, slots=True)
class Rule:
    """One selector with what it declares.

    Parameters
    ----------
    tag : str or None
    classes, ids : frozenset of str
        All of them must be there.
    declarations : tuple of Declaration
    order : int
        Among equals the later rule wins.
    """

    tag: str | None
    classes: frozenset[str]
    ids: frozenset[str]
    declarations: tuple[Declaration, ...]
    order: int

    @property
    def weight(self) -> tuple[int, int, int, int]:
        """Rank by ids, classes, tag and order: Selectors 4, section 17."""
        return len(self.ids), len(self.classes), self.tag is not None, self.order

    @property
    def key(self) -> str:
        """One id, class or tag without which no element matches; else ``*``."""
        for sign, names in (("#", self.ids), (".", self.classes)):
            if names:
                return sign + min(names)
        return self.tag or "*"


@dataclass(frozen=True, slots=True)
class Sheet:
    """The rules of all style elements of a file.

    Parameters
    ----------
    rules : mapping of str to tuple of Rule
        By one id, class, tag or ``*`` that the selector needs.
    skipped : tuple of str
        Selectors and at-rules that are not read, as written.
    """

    rules: Mapping[str, tuple[Rule, ...]]
    skipped: tuple[str, ...]

    def declarations(self, element: Element, classes: Iterable[str]) -> Declarations:
        """Return what the sheet and the style attribute declare for an element.

        Parameters
        ----------
        element : Element
        classes : iterable of str
            Its class names.
        """
        inline = element.attributes.get("style", "")
        if not self.rules and not inline:
            return {}
        own = frozenset(classes)
        keys = ("*", element.tag, f"#{element.attributes.get('id', '')}")
        candidates = [
            rule
            for key in (*keys, *(f".{name}" for name in own))
            for rule in self.rules.get(key, ())
            if _matches(rule, element, own)
        ]
        candidates.sort(key=lambda rule: rule.weight)
        matching = [*(rule.declarations for rule in candidates), _inline(inline)]
        ordinary = [d for each in matching for d in each if not d.is_important]
        important = [d for each in matching for d in each if d.is_important]
        return {d.name: d.value for d in (*ordinary, *important)}


def read_sheet(texts: Iterable[str]) -> Sheet:
    """Read the contents of the style elements of a file, in order."""
    rules: defaultdict[str, list[Rule]] = defaultdict(list)
    skipped: list[str] = []
    statements = (pair for text in texts for pair in _statements(_uncommented(text)))
    for order, (prelude, block) in enumerate(statements):
        if prelude.startswith("@"):
            if prelude.split()[0].lower() not in _HARMLESS:
                skipped.append(prelude)
            continue
        declared = tuple(_declared(block))
        for selector in _split(prelude, ","):
            rule = _rule(selector.strip(), declared, order)
            if rule is None:
                skipped.append(selector.strip())
            else:
                rules[rule.key].append(rule)
    return Sheet({key: tuple(some) for key, some in rules.items()}, tuple(skipped))


@functools.lru_cache(maxsize=1024)
def _inline(text: str) -> tuple[Declaration, ...]:
    return tuple(_declared(text))


def _matches(rule: Rule, element: Element, classes: frozenset[str]) -> bool:
    return (
        rule.tag in {None, element.tag}
        and rule.classes <= classes
        and rule.ids <= {element.attributes.get("id", "")}
    )


def _rule(selector: str, declared: tuple[Declaration, ...], order: int) -> Rule | None:
    match = _SIMPLE.fullmatch(selector)
    if match is None or not selector:
        return None
    parts = _PART.findall(match[2])
    return Rule(
        None if match[1] == "*" else match[1],
        frozenset(name for sign, name in parts if sign == "."),
        frozenset(name for sign, name in parts if sign == "#"),
        declared,
        order,
    )


def _declared(text: str) -> Iterator[Declaration]:
    for declaration in _split(_uncommented(text), ";"):
        name, colon, value = declaration.partition(":")
        if not colon:
            continue
        plain = _IMPORTANT.sub("", value)
        yield Declaration(name.strip().lower(), plain.strip(), plain != value)


def _statements(text: str) -> Iterator[tuple[str, str]]:
    at = 0
    while at < len(text):
        stop = _next(text, at, "{;")
        prelude = text[at:stop].strip()
        if text[stop : stop + 1] != "{":
            if prelude:
                yield prelude, ""
            at = stop + 1
            continue
        end = _block_end(text, stop + 1)
        yield prelude, text[stop + 1 : end]
        at = end + 1


def _block_end(text: str, at: int) -> int:
    depth = 1
    while at < len(text):
        at = _next(text, at, "{}")
        depth += {"{": 1, "}": -1}.get(text[at : at + 1], 0)
        if depth == 0:
            return at
        at += 1
    return len(text)


def _split(text: str, separator: str) -> Iterator[str]:
    if not any(sign in text for sign in "\"'("):
        yield from text.split(separator)
        return
    at = 0
    while at <= len(text):
        stop = _next(text, at, separator)
        yield text[at:stop]
        at = stop + 1


def _next(text: str, at: int, stops: str) -> int:
    """Return where the next of some signs stands outside quotes and brackets."""
    depth, quote = 0, ""
    for index in range(at, len(text)):
        sign = text[index]
        if quote:
            quote = "" if sign == quote else quote
        elif sign in "\"'":
            quote = sign
        elif sign in "()":
            depth = max(depth + (1 if sign == "(" else -1), 0)
        elif depth == 0 and sign in stops:
            return index
    return len(text)


def _uncommented(text: str) -> str:
    parts = []
    at = 0
    text = text.replace("<!--", "").replace("-->", "")
    while (start := text.find("/*", at)) >= 0:
        parts.append(text[at:start])
        end = text.find("*/", start + 2)
        at = len(text) if end < 0 else end + 2
    return "".join((*parts, text[at:]))
