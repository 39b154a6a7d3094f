"""A cutting chart and its steps for every way of cutting a tape, as files."""

from edgefinder.reports.cutting_chart import cutting_chart
from edgefinder.reports.cutting_steps import cutting_steps, steps_text
from edgefinder.units import Unit
from edgefinder.yardage.methods import CuttingPlan


def chart_files(plan: CuttingPlan, unit: Unit) -> dict[str, str]:
    """Return the text of every chart and of its steps by file name.

    Parameters
    ----------
    plan : CuttingPlan
    unit : Unit
        That figures are written in.

    Returns
    -------
    dict of str to str
        ``tube-from-a-square.svg`` and ``tube-from-a-square.txt``, and so on.
    """
    files: dict[str, str] = {}
    for cutting in plan.cuttings:
        stem = str(cutting.method).replace(" ", "-")
        files[f"{stem}.svg"] = cutting_chart(cutting, unit, prefix=stem)
        files[f"{stem}.txt"] = steps_text(cutting_steps(cutting, unit))
    return files
