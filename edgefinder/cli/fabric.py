"""``edgefinder fabric``."""

from pathlib import Path

import click

from edgefinder.cli.options import LengthType, TypedLength, json_option, unit_option
from edgefinder.cli.output import print_note, print_text


@click.command()
@click.option("--length", required=True, type=LengthType(), help="Tape that is needed.")
@click.option(
    "--cut-width", required=True, type=LengthType(), help="Width of the flat strip."
)
@click.option(
    "--seam",
    type=LengthType(),
    default="1/4 in",
    show_default=True,
    help="Seam allowance where strips are joined.",
)
@click.option(
    "--usable-width",
    type=LengthType(),
    default="42 in",
    show_default=True,
    help="Width of the cloth less the selvages.",
)
@click.option(
    "--grain",
    type=click.Choice(["bias", "crosswise", "lengthwise"]),
    help="Only strips cut this way; all ways are compared otherwise.",
)
@click.option(
    "--charts",
    "folder",
    type=click.Path(path_type=Path),
    metavar="DIR",
    help="Also write a cutting chart (SVG) and its steps for every way into DIR.",
)
@click.option("--force", is_flag=True, help="Write over files of another make in DIR.")
@unit_option
@json_option
def fabric(
    length: TypedLength,
    cut_width: TypedLength,
    seam: TypedLength,
    usable_width: TypedLength,
    grain: str | None,
    folder: Path | None,
    force: bool,
    unit: str | None,
    as_json: bool,
) -> None:
    """Work out the fabric for a length of tape, by every way of cutting it.

    \b
    Examples:
      edgefinder fabric --length "4 yd" --cut-width "2 in"
      edgefinder fabric --length 3m --cut-width 36mm --charts charts
    """
    from edgefinder.classifier.job import Grain
    from edgefinder.constants import BUY_STEP_INCH_MM, BUY_STEP_METRIC_MM
    from edgefinder.units import Unit
    from edgefinder.yardage.cutting import Need
    from edgefinder.yardage.methods import cut_everything

    printed = Unit(unit or ("in" if length.is_inches else "mm"))
    plan = cut_everything(
        Need(
            length=length.length,
            cut_width=cut_width.length,
            seam=seam.length,
            usable_width=usable_width.length,
            grain=Grain(grain) if grain else None,
            buy_step=BUY_STEP_METRIC_MM if printed.is_metric else BUY_STEP_INCH_MM,
        )
    )
    if folder is not None:
        from edgefinder.reports.cutting_files import chart_files
        from edgefinder.reports.writing import write_tables

        for path in write_tables(folder, chart_files(plan, printed), force=force):
            print_note(f"wrote {path}")
    if as_json:
        from edgefinder.reports.json_text import to_json
        from edgefinder.reports.records import plan_record

        print_text(to_json("fabric", plan_record(plan), ()))
        return
    from edgefinder.reports.fabric_text import fabric_text

    print_text(fabric_text(plan, printed))
