"""The unit of a DXF drawing, from what its header really says."""

import math
import re
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from edgefinder.constants import MM_PER_FOOT, MM_PER_INCH, MM_PER_YARD
from edgefinder.findings import Finding, note, warning

_MM_PER_AU: Final = 149597870700e3
"""Exact: IAU 2012 Resolution B2."""


@dataclass(frozen=True, slots=True)
class DrawingUnit:
    """A unit of length by its names and its size in millimetres."""

    name: str
    mm: float


INSUNITS: Final = MappingProxyType(
    {
        1: DrawingUnit("inch", MM_PER_INCH),
        2: DrawingUnit("foot", MM_PER_FOOT),
        3: DrawingUnit("mile", 1609344.0),
        4: DrawingUnit("millimetre", 1.0),
        5: DrawingUnit("centimetre", 10.0),
        6: DrawingUnit("metre", 1000.0),
        7: DrawingUnit("kilometre", 1e6),
        8: DrawingUnit("microinch", 25.4e-6),
        9: DrawingUnit("mil", 0.0254),
        10: DrawingUnit("yard", MM_PER_YARD),
        11: DrawingUnit("angstrom", 1e-7),
        12: DrawingUnit("nanometre", 1e-6),
        13: DrawingUnit("micron", 0.001),
        14: DrawingUnit("decimetre", 100.0),
        15: DrawingUnit("decametre", 1e4),
        16: DrawingUnit("hectometre", 1e5),
        17: DrawingUnit("gigametre", 1e12),
        18: DrawingUnit("astronomical unit", _MM_PER_AU),
        19: DrawingUnit("light year", 9460730472580800e3),
        20: DrawingUnit("parsec", _MM_PER_AU * 648000 / math.pi),
        21: DrawingUnit("US survey foot", 1200000 / 3937),
        22: DrawingUnit("US survey inch", 100000 / 3937),
        23: DrawingUnit("US survey yard", 3600000 / 3937),
        24: DrawingUnit("US survey mile", 6336000000 / 3937),
    }
)
"""Values of $INSUNITS with a length (DXF reference, HEADER; 21 to 24 since 2018).

The factors are definitions: international inch, foot, yard and mile of 1959; the US
survey foot of 1200/3937 m (US Federal Register 24, 1959, 5348); light year and parsec
of the IAU (2012 and 2015).
"""

UNITLESS: Final = frozenset({0, 99})

MEASUREMENT: Final = MappingProxyType({0: INSUNITS[1], 1: INSUNITS[4]})
"""$MEASUREMENT: 0 English, 1 metric (DXF reference, HEADER). It chooses hatch patterns,
so it is a hint and no proof."""

_TEXT_VARIABLE: Final = (
    rb"(?m)^[ \t]*9[ \t]*\r?\n[ \t]*\$%s[ \t]*\r?\n"
    rb"[ \t]*70[ \t]*\r?\n[ \t]*(-?\d{1,6})\b"
)
_BINARY_VARIABLE: Final = rb"(?s)(?:\x09\x00\$%s\x00\x46\x00|\x09\$%s\x00\x46)(..)"
"""Group codes have two bytes since R13 and one byte before (DXF reference, Binary DXF
Files)."""

_AROUND_NAME: Final = 64
"""Bytes before and after the name of a variable in which its group code and its number
stand; writers pad lines with a few blanks."""


def header_number(data: bytes, name: str, *, binary: bool) -> int | None:
    """Return an integer of the header as it stands in the file, or None.

    Parameters
    ----------
    data : bytes
        The whole file.
    name : str
        Without the dollar sign.
    binary : bool
        Whether it is a binary DXF.

    Notes
    -----
    The library fills in variables that are not there, so it cannot be asked.
    """
    key = name.encode("ascii")
    pattern = re.compile(
        _BINARY_VARIABLE % (key, key) if binary else _TEXT_VARIABLE % key
    )
    # The pattern would try every line of a large file; the name is found at once.
    at = data.find(b"$" + key)
    while at >= 0:
        found = pattern.search(data, max(at - _AROUND_NAME, 0), at + _AROUND_NAME)
        if found:
            value = found[1]
            return (
                int.from_bytes(value, "little", signed=True) if binary else int(value)
            )
        at = data.find(b"$" + key, at + 1)
    return None


def drawing_unit(
    name: str, data: bytes, *, binary: bool, unit_mm: float | None
) -> tuple[float, tuple[Finding, ...]]:
    """Decide how many millimetres a drawing unit has.

    Parameters
    ----------
    name : str
        File name, for the finding.
    data : bytes
        The whole file.
    binary : bool
    unit_mm : float or None
        What the person says; it wins over what the file says.

    Returns
    -------
    float
        Millimetres per drawing unit.
    tuple of Finding
        One where the unit was assumed, or where the person overrides the file.
    """
    insunits = header_number(data, "INSUNITS", binary=binary)
    stated = None if insunits is None else INSUNITS.get(insunits)
    if unit_mm is not None:
        if stated is None or math.isclose(stated.mm, unit_mm):
            return unit_mm, ()
        return unit_mm, (
            note(
                "unit-overridden",
                name,
                f"the file says that its unit is the {stated.name} ({stated.mm:g} mm); "
                f"{unit_mm:g} mm was used as asked",
            ),
        )
    if stated is not None:
        return stated.mm, ()
    measurement = header_number(data, "MEASUREMENT", binary=binary)
    hint = None if measurement is None else MEASUREMENT.get(measurement)
    assumed = hint or INSUNITS[4]
    why = f" because $MEASUREMENT is {measurement}" if hint else ""
    return assumed.mm, (
        warning(
            "unit-assumed",
            name,
            f"the file does not say its unit ({_said(insunits)}); 1 unit was taken as "
            f"1 {assumed.name}{why}; if that is wrong, give --unit-mm",
        ),
    )


def _said(insunits: int | None) -> str:
    if insunits is None:
        return "no $INSUNITS"
    if insunits in UNITLESS:
        return f"$INSUNITS {insunits}"
    return f"$INSUNITS {insunits} is not a length"
