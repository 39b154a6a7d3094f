"""What was unusual about a drawing, counted as it is met and told once."""

from collections import Counter
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Final

from edgefinder.findings import Finding, Severity

_NOTE, _WARNING = Severity.NOTE, Severity.WARNING

MESSAGES: Final = MappingProxyType(
    {
        "no-namespace": (
            _NOTE,
            "the svg element does not name the SVG namespace; it is read as SVG",
        ),
        "unbound-prefix": (
            _WARNING,
            (
                "the file does not declare the XML {detail}; it is read as if it did: "
                "save the drawing again as plain SVG"
            ),
        ),
        "no-size": (
            _WARNING,
            (
                "the drawing says no size; its units are taken as px, 96 to the inch "
                "(0.2646 mm each): measure its test square, and pass --unit-mm if that "
                "is wrong"
            ),
        ),
        "px-size": (
            _NOTE,
            (
                "the size of the drawing is in px, taken as 96 to the inch; some "
                "drawing programs write 72: measure its test square, and pass "
                "--unit-mm if that is wrong"
            ),
        ),
        "uneven-scale": (
            _WARNING,
            (
                "the drawing is stretched: its viewBox has another shape than its "
                "width and height, with preserveAspectRatio none"
            ),
        ),
        "font-length": (
            _WARNING,
            "{n} read as half an em each: how high an x is depends on the font",
        ),
        "font-size": (
            _WARNING,
            (
                "{n} read as if the font were 16 px: its size depends on more than the "
                "drawing says"
            ),
        ),
        "outside-sheet": (
            _WARNING,
            "{n} from outside the file not read; what it hides or colours is not known",
        ),
        "style-rule": (
            _WARNING,
            (
                "{n} of the style sheet not understood and left out (the first is "
                "{detail})"
            ),
        ),
        "print-rule": (
            _NOTE,
            (
                "{n} of the style sheet for print left out: the drawing is read as it "
                "looks on a screen"
            ),
        ),
        "hidden": (_NOTE, "{n} hidden (display or visibility) and skipped"),
        "conditional": (
            _NOTE,
            "{n} skipped: for another language or another program",
        ),
        "not-drawn": (_NOTE, "{n} skipped: never drawn where it stands"),
        "flattened": (
            _WARNING,
            "{n} skipped: without width or height, so that nothing is drawn",
        ),
        "skipped-element": (
            _NOTE,
            "{n} skipped; only outlines and text are read",
        ),
        "outside-reference": (
            _WARNING,
            "{n} to another file not followed; copy that into the drawing",
        ),
        "missing-reference": (
            _WARNING,
            (
                "{n} to what is not in the file (the first is {detail}); nothing is "
                "drawn there"
            ),
        ),
        "clipped": (
            _WARNING,
            "{n} clipped or masked; the whole outline is measured, not what is left",
        ),
        "no-paint": (
            _NOTE,
            "{n} without stroke or fill, or fully transparent; read all the same",
        ),
        "unknown-paint": (
            _NOTE,
            "{n} with a stroke paint that is no plain colour (the first is {detail})",
        ),
        "no-outlines": (_WARNING, "there is no outline in the drawing"),
    }
)
"""Severity and sentence by code; ``{n}`` is the number with what is counted."""


@dataclass(slots=True)
class Tally:
    """Counts, the first line and the first detail of each unusual thing.

    Parameters
    ----------
    name : str
        File name.
    """

    name: str
    _counts: Counter[tuple[str, str]] = field(default_factory=Counter)
    _first: dict[tuple[str, str], tuple[int, str]] = field(default_factory=dict)

    def add(
        self, code: str, line: int, noun: str = "", detail: str = "", count: int = 1
    ) -> None:
        """Count something.

        Parameters
        ----------
        code : str
            A key of `MESSAGES`.
        line : int
            Where it stands in the file.
        noun : str
            What is counted, in the singular; each noun is told by itself.
        detail : str
            Said of the first one.
        count : int
            How many; nothing happens for 0.
        """
        if count:
            self._counts[code, noun] += count
            self._first.setdefault((code, noun), (line, detail))

    def findings(self) -> tuple[Finding, ...]:
        """Return one finding for each code and noun, in the order first met."""
        told = []
        for (code, noun), (line, detail) in self._first.items():
            count = self._counts[code, noun]
            severity, sentence = MESSAGES[code]
            number = f"{count} {noun if count == 1 else _plural(noun)}"
            message = sentence.replace("{n}", number).replace("{detail}", detail)
            told.append(Finding(code, severity, f"{self.name}: line {line}", message))
        return tuple(told)


def _plural(noun: str) -> str:
    head, link, rest = noun.partition(" in ")
    return f"{head}s{link}{rest}"
