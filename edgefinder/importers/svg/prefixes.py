"""Namespaces of a text in which a prefix is not declared.

Expat refuses such a text, because Namespaces in XML does. Drawing programs and scripts
that put texts together write it all the same, and it says nothing wrong about an
outline. So it is read without expat's own namespaces, which are made good here.
"""

from collections import defaultdict
from types import MappingProxyType
from typing import Final

SVG_NAMESPACE: Final = "http://www.w3.org/2000/svg"
"""SVG 2, section 5.1.1, "Document structure: SVG namespace"."""
XML_NAMESPACE: Final = "http://www.w3.org/XML/1998/namespace"
"""Namespaces in XML 1.0, section 3."""
XLINK_NAMESPACE: Final = "http://www.w3.org/1999/xlink"
"""SVG 2, section 16.1.6, "Deprecated XLink URL reference attributes"."""

SEPARATOR: Final = "}"
"""Between a namespace and a name; no name has it."""

_MEANT: Final = MappingProxyType({"svg": SVG_NAMESPACE, "xlink": XLINK_NAMESPACE})
"""Prefixes that mean one thing wherever they stand undeclared. Any other one is given a
namespace of its own, in which a label is a label."""
_DECLARING: Final = "xmlns"
_RESERVED: Final = frozenset({"xml", _DECLARING})
"""Namespaces in XML 1.0, section 3: must not be declared as anything else."""


class Prefixes:
    """Gives the names of one text the namespaces that expat would give them.

    The attribute ``unbound`` holds every prefix that was met undeclared, with the line
    of the first. The work for a tag grows with what stands in it alone, however many
    prefixes are declared around it.
    """

    def __init__(self) -> None:
        self.unbound: dict[str, int] = {}
        self._meanings: defaultdict[str, list[str]] = defaultdict(list)
        self._meanings["xml"].append(XML_NAMESPACE)
        self._declared: list[list[str]] = []

    def start(
        self, name: str, attributes: dict[str, str], line: int
    ) -> tuple[str, dict[str, str]]:
        """Take in the declarations of a start tag and expand its names.

        Parameters
        ----------
        name : str
        attributes : dict of str to str
        line : int
            Of the tag.

        Returns
        -------
        str, dict of str to str
            The same as ``namespace}name``, or as they are without a namespace; without
            the declarations.

        Raises
        ------
        ValueError
            With the reason, if it is not well-formed in any other way.
        """
        self._declared.append([])
        plain = {}
        for key, value in attributes.items():
            prefix, colon, local = key.partition(":")
            if prefix != _DECLARING:
                plain[key] = value
            else:
                self._declare(local if colon else "", value, bool(colon))
        expanded = {
            (self._expanded(key, line) if ":" in key else key): value
            for key, value in plain.items()
        }
        if len(expanded) < len(plain):
            raise ValueError("duplicate attribute")
        if ":" in name:
            return self._expanded(name, line), expanded
        default = self._meanings[""][-1:]
        return (f"{default[0]}{SEPARATOR}{name}" if any(default) else name), expanded

    def end(self) -> None:
        """Forget the declarations of the innermost tag that is open."""
        for prefix in self._declared.pop():
            self._meanings[prefix].pop()

    def _declare(self, prefix: str, namespace: str, has_colon: bool) -> None:
        if has_colon and (not prefix or not namespace or ":" in prefix):
            raise ValueError("a prefix is declared as nothing")
        if prefix == "xml" and namespace == XML_NAMESPACE:
            return
        if prefix in _RESERVED:
            raise ValueError("a reserved prefix is declared")
        self._meanings[prefix].append(namespace)
        self._declared[-1].append(prefix)

    def _expanded(self, name: str, line: int) -> str:
        prefix, _, local = name.partition(":")
        if not prefix or not local or ":" in local:
            raise ValueError("a name has a colon too many")
        meanings = self._meanings.get(prefix)
        if meanings:
            return f"{meanings[-1]}{SEPARATOR}{local}"
        self.unbound.setdefault(prefix, line)
        return f"{_MEANT.get(prefix, f'undeclared:{prefix}')}{SEPARATOR}{local}"
