"""What a swatch says, as a plain record."""

from collections.abc import Mapping

from edgefinder.binding.swatch import Swatch, SwatchResult
from edgefinder.reports.records import Record


def swatch_record(
    swatch: Swatch, result: SwatchResult, cloth: Mapping[str, object] | None
) -> Record:
    """Return what was measured and what it comes to.

    Parameters
    ----------
    swatch : Swatch
    result : SwatchResult
    cloth : mapping or None
        As `cloth_record` makes it.
    """
    return {
        "measured": {
            "marked_mm": swatch.marked,
            "stretched_mm": swatch.stretched,
            "eased_mm": swatch.eased,
            "width_before_mm": swatch.width_before,
            "width_after_mm": swatch.width_after,
            "load_n": swatch.load,
        },
        "stretch_ok_percent": 100 * result.stretch_ok,
        "stretch_limit_percent": 100 * result.stretch_limit,
        "ease_ok_percent": _percent(result.ease_ok),
        "ease_limit_percent": _percent(result.ease_limit),
        "net_width_mm": result.expected_width,
        "thread_stretch_percent": _percent(result.thread_stretch),
        "threads": None if result.threads is None else str(result.threads),
        "shear_rigidity_n_per_m": result.shear_rigidity,
        "cloth": cloth,
    }


def cloth_record(
    name: str, percents: Mapping[str, float], file: str | None, change: str
) -> Record:
    """Return a cloth as it is written.

    Parameters
    ----------
    name : str
    percents : mapping of str to float
        By the keys of a job file.
    file : str or None
        That it is written into.
    change : str
        What changes in that file, as a unified diff.
    """
    return {
        "name": name,
        "stretch_ok_percent": percents["stretch_ok_percent"],
        "stretch_limit_percent": percents["stretch_limit_percent"],
        "ease_ok_percent": percents.get("ease_ok_percent"),
        "ease_limit_percent": percents.get("ease_limit_percent"),
        "file": file,
        "change": change,
    }


def _percent(share: float | None) -> float | None:
    return None if share is None else 100 * share
