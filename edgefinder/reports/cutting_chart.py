"""A cutting as a chart that can be followed at the table, in SVG at scale."""

from collections.abc import Sequence

from edgefinder.reports.chart_marks import Panel
from edgefinder.reports.chart_page import Sheet, lay_out
from edgefinder.reports.chart_strips import strip_panels
from edgefinder.reports.chart_svg import sheet_svg
from edgefinder.reports.chart_tube import tube_panels
from edgefinder.reports.cutting_words import cutting_facts, cutting_title
from edgefinder.reports.order_words import order_sentences
from edgefinder.units import Unit
from edgefinder.yardage.as_cut import as_cut
from edgefinder.yardage.cutting import TUBES, Cutting


def chart_sheet(cutting: Cutting, unit: Unit, *, name: str = "") -> Sheet:
    """Lay a cutting out on a sheet of paper.

    Parameters
    ----------
    cutting : Cutting
    unit : Unit
        In which sizes are written.
    name : str
        Of the tape; may come from a job file.

    Returns
    -------
    Sheet
        Of the piece as it is cut, on marks of a ruler.
    """
    cutting = as_cut(cutting, unit)

    def draw(scale: float) -> Sequence[Panel]:
        if cutting.method in TUBES:
            return tube_panels(cutting, unit, scale)
        return strip_panels(cutting, unit, scale)

    title = cutting_title(cutting, name)
    facts = (*cutting_facts(cutting, unit), *order_sentences(cutting, unit))
    return lay_out(title, facts, draw, cutting.cut_size, unit)


def cutting_chart(
    cutting: Cutting, unit: Unit, *, name: str = "", prefix: str = "chart"
) -> str:
    """Draw how a tape is cut.

    Parameters
    ----------
    cutting : Cutting
    unit : Unit
        In which sizes are written.
    name : str
        Of the tape; may come from a job file.
    prefix : str
        Begins every id: charts on one page need prefixes of their own.

    Returns
    -------
    str
        One ``svg`` element without ``style`` or script, the same bytes every time. Its
        unit is a millimetre of cloth; printed on A4 or US Letter it takes one page.

    Raises
    ------
    ValueError
        If ids cannot begin with the prefix.
    """
    sheet = chart_sheet(cutting, unit, name=name)
    title = f"Cutting chart. {cutting_title(cutting, name)}"
    whole = as_cut(cutting, unit)
    facts = (*cutting_facts(whole, unit), *order_sentences(whole, unit))
    description = " ".join(facts)
    return sheet_svg(sheet, title, description, prefix)
