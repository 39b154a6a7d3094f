"""Outlines that were digitised, smoothed before their edges are numbered."""

from collections.abc import Sequence
from dataclasses import replace

from edgefinder.findings import Finding, note
from edgefinder.geometry.digitised import SmoothedPath, drawn_length, smooth_digitised
from edgefinder.geometry.measured import measure_all
from edgefinder.pattern.edges import Ring, Smoothing


def smooth_rings(rings: Sequence[Ring]) -> tuple[list[Ring], list[Finding]]:
    """Put the smooth line in place of every digitised outline.

    Parameters
    ----------
    rings : sequence of Ring

    Returns
    -------
    list of Ring
        In the same order; what is drafted is left as it is.
    list of Finding
        One for each outline that was digitised.
    """
    found = smooth_digitised([ring.path for ring in rings])
    pairs = [(ring, one) for ring, one in zip(rings, found, strict=True) if one]
    measured = measure_all([one.path for _, one in pairs])
    findings = [
        _finding(ring, one, path.length)
        for (ring, one), path in zip(pairs, measured, strict=True)
    ]
    smooth = [
        ring if one is None else _smoothed(ring, one)
        for ring, one in zip(rings, found, strict=True)
    ]
    return smooth, findings


def _smoothed(ring: Ring, one: SmoothedPath) -> Ring:
    return replace(
        ring,
        path=one.path,
        source_of_segment=ring.source_of_segment[one.source],
        smoothing=Smoothing(one.tangents, one.drawn),
    )


def _finding(ring: Ring, one: SmoothedPath, length: float) -> Finding:
    longer = 100 * (drawn_length(one) / length - 1)
    side = "longer" if longer >= 0 else "shorter"
    return note(
        "digitised",
        ring.sources[0].where,
        f"digitised: points every {one.tracing.spacing:.1f} mm with noise of "
        f"{one.tracing.noise:.2f} mm; the drawn line is {abs(longer):.2f} % {side} "
        "than the smoothed one, which is measured",
    )
