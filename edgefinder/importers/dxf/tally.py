"""Unusual things of a DXF counted while it is read, one finding for each kind."""

from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from edgefinder.findings import Finding, Severity
from edgefinder.importers.dxf.spline import SPLINE_TOLERANCE_MM

_WITHOUT_OUTLINES: Final = frozenset(
    {
        "ARC_DIMENSION",
        "ATTDEF",
        "DIMENSION",
        "HATCH",
        "IMAGE",
        "LARGE_RADIAL_DIMENSION",
        "LEADER",
        "LIGHT",
        "MULTILEADER",
        "POINT",
        "RAY",
        "SHAPE",
        "SUN",
        "TOLERANCE",
        "VIEWPORT",
        "WIPEOUT",
        "XLINE",
    }
)
"""Kinds that explain or fill a drawing; any other that is skipped may be an outline."""

_UNDERLAYS: Final = frozenset({"DGNUNDERLAY", "DWFUNDERLAY", "PDFUNDERLAY"})


@dataclass(frozen=True, slots=True)
class _Kind:
    severity: Severity
    message: str


_KINDS: Final = MappingProxyType(
    {
        "no-outline": _Kind(
            Severity.NOTE, "{subject}: {count} left out; they draw no outlines"
        ),
        "kind-skipped": _Kind(
            Severity.WARNING,
            "{subject}: {count} left out; draw outlines as lines, arcs, circles, "
            "ellipses, polylines or splines",
        ),
        "underlay": _Kind(
            Severity.WARNING,
            "{subject}: {count} left out; pictures of another file have no lines",
        ),
        "layer-hidden": _Kind(
            Severity.NOTE,
            "{subject}: entities left out: {count}; switch it on to read them",
        ),
        "invisible": _Kind(Severity.NOTE, "invisible entities left out: {count}"),
        "zero-length": _Kind(
            Severity.NOTE, "{subject} without length: {count} left out"
        ),
        "external-drawing": _Kind(
            Severity.WARNING,
            'the block "{subject}" stands for another drawing (XREF) and was not read; '
            "bind it in the drawing program",
        ),
        "clipped-insert": _Kind(
            Severity.WARNING,
            'the block "{subject}" is clipped (XCLIP) but was read whole',
        ),
        "missing-block": _Kind(
            Severity.WARNING,
            'the block "{subject}" is not in the file; inserts left out: {count}',
        ),
        "empty-block": _Kind(
            Severity.WARNING,
            'the block "{subject}" is empty, or was lost from the file: nothing is '
            "drawn where it is inserted; inserts: {count}",
        ),
        "scale-zero": _Kind(
            Severity.WARNING,
            'the block "{subject}" is inserted with scale 0; 1 was used, as drawing '
            "programs do",
        ),
        "not-flat": _Kind(
            Severity.WARNING,
            "{subject} that leave the drawing plane: {count}, taken as seen from "
            "above; flatten the drawing if they are outlines",
        ),
        "spline-converted": _Kind(
            Severity.NOTE,
            "splines that are {subject}: {count} converted to cubics within "
            f"{SPLINE_TOLERANCE_MM} mm",
        ),
        "spline-through-points": _Kind(
            Severity.WARNING,
            "splines that hold only points to run through: {count}; the smooth curve "
            "put through them may differ from the one drawn",
        ),
        "damaged": _Kind(Severity.WARNING, "{subject}; it was left out"),
    }
)

_OF_THE_FILE: Final = frozenset(
    {"no-outline", "kind-skipped", "layer-hidden", "invisible"}
)


class Tally:
    """Counts of unusual things, in the order in which they were first met.

    Parameters
    ----------
    name : str
        File name, for the findings.
    """

    def __init__(self, name: str) -> None:
        self._name = name
        self._counts: dict[tuple[str, str], int] = {}
        self._first: dict[tuple[str, str], str] = {}

    def add(self, code: str, subject: str, where: str, count: int = 1) -> None:
        """Count things: code of the finding, what it is about, and the first place."""
        key = (code, subject)
        self._counts[key] = self._counts.get(key, 0) + count
        self._first.setdefault(key, where)

    def skip(self, kind: str, where: str) -> None:
        """Count an entity of a kind that is not read."""
        code = "no-outline" if kind in _WITHOUT_OUTLINES else "kind-skipped"
        self.add("underlay" if kind in _UNDERLAYS else code, kind, where)

    def findings(self) -> tuple[Finding, ...]:
        """Return one finding for each code and subject."""
        return tuple(
            Finding(
                code,
                _KINDS[code].severity,
                self._name if code in _OF_THE_FILE else self._first[code, subject],
                _KINDS[code].message.format(count=count, subject=subject),
            )
            for (code, subject), count in self._counts.items()
        )
