"""The answer to what is typed for a length of tape, as text."""

from edgefinder.reports.buying_text import widths_lines
from edgefinder.reports.fabric_text import fabric_text, packets_lines
from edgefinder.reports.layout import heading, paragraph
from edgefinder.reports.rectangle_text import rectangle_lines
from edgefinder.reports.scraps_text import scraps_lines
from edgefinder.reports.tapes_text import tapes_lines
from edgefinder.schedule.fabric_answer import FabricAnswer


def answer_text(found: FabricAnswer) -> str:
    """Write the answer to what was typed."""
    unit = found.query.unit
    if found.plan is not None:
        lines = fabric_text(found.plan, unit).splitlines()
    elif found.rectangle is not None:
        lines = rectangle_lines(
            found.rectangle, unit, is_promise=found.query.is_promise
        )
    elif found.scraps is not None:
        lines = scraps_lines(found.scraps, found.query.need, unit)
    else:
        lines = tapes_lines(found.tapes, found.query.fabric, unit)
    if found.widths:
        lines += ["", *heading("Other widths"), *widths_lines(found.widths, unit)]
    for one in found.packets:
        named = "" if one.name == "tape" else f"{one.name}: "
        (first, *rest) = packets_lines(one.packets, one.packet_length, unit)
        lines += ["", *paragraph(named + " ".join([first, *rest]), hanging="  ")]
    return "\n".join([*lines, ""])
