"""``edgefinder fabric``."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from edgefinder.cli.options import Command, json_option, unit_option
from edgefinder.cli.output import print_findings, print_note, print_text
from edgefinder.cli.progress import progress

GRAINS = ("bias", "crosswise", "lengthwise")
FOLDS = ("single fold", "double fold", "double layer", "flat", "bias facing")
"""Those of `edgefinder.classifier.job`, which is not loaded to print a help page."""

_TAPE = (
    click.option("--length", metavar="LENGTH", help="Tape that is needed."),
    click.option("--cut-width", metavar="LENGTH", help="Width of the flat strip."),
    click.option(
        "--finished-width",
        metavar="LENGTH",
        help="What shows on one side, in place of --cut-width.",
    ),
    click.option(
        "--fold",
        type=click.Choice(FOLDS),
        help="How the strip is folded.  [default: double fold]",
    ),
    click.option(
        "--grain", type=click.Choice(GRAINS), help="Only strips cut this way."
    ),
    click.option(
        "--tape",
        multiple=True,
        type=(str, str, str),
        metavar="NAME LENGTH CUT-WIDTH",
        help="One of several tapes in one cut; NAME may be SIZE: NAME.",
    ),
    click.option(
        "--packet-length", metavar="LENGTH", help="Of ready-made tape: count packets."
    ),
)
_CLOTH = (
    click.option(
        "--usable-width",
        metavar="LENGTH",
        help="Width of the cloth less the selvages.  [default: 42 in]",
    ),
    click.option(
        "--cloth-width",
        metavar="LENGTH",
        help="Width from edge to edge instead; --selvage is taken off it.",
    ),
    click.option("--selvage", metavar="LENGTH", help="Lost on each side."),
    click.option(
        "--strip-seam",
        "--seam",
        "strip_seam",
        metavar="LENGTH",
        help="Seam allowance where strips are joined.  [default: 1/4 in]",
    ),
    click.option(
        "--shortest-strip",
        metavar="LENGTH",
        help="Shorter strips are not joined.  [default: 150 mm]",
    ),
    click.option("--one-way", is_flag=True, help="No strip is turned end for end."),
    click.option("--same-slant", is_flag=True, help="All joins slant the same way."),
    click.option(
        "--from", metavar="SIZE", help='From a rectangle that is there: "14 x 44 in".'
    ),
    click.option(
        "--scrap",
        multiple=True,
        metavar="SIZE",
        help='From what is left over, across x along: "8 x 20 in".',
    ),
    click.option("--scraps", metavar="FILE", help="The same, drawn in an SVG or DXF."),
    click.option(
        "--scrap-grain",
        metavar="DEGREES",
        help="Of the drawn lengthwise grain, clockwise from upright.",
    ),
    click.option("--unit-mm", metavar="MM", help="Millimetres per drawing unit."),
)
_JOINS = (
    click.option(
        "--avoid-joins-at",
        multiple=True,
        metavar="LENGTH",
        help="Along the tape: keep joins away from here.",
    ),
    click.option(
        "--avoid-joins-within", metavar="LENGTH", help="How far away joins are kept."
    ),
    click.option("--closed", is_flag=True, help="The tape goes round a loop."),
)
_BUYING = (
    click.option("--shrinkage-lengthwise", metavar="PERCENT", help="Before cutting."),
    click.option("--shrinkage-crosswise", metavar="PERCENT", help="Before cutting."),
    click.option(
        "--squaring-up", metavar="LENGTH", help="Lost by straightening both ends."
    ),
    click.option("--contingency", metavar="PERCENT", help="Bought in addition."),
    click.option(
        "--buy-step",
        metavar="LENGTH",
        help="Cloth is sold in steps of this.  [default: 1/8 yd, 10 cm]",
    ),
    click.option(
        "--widths",
        multiple=True,
        metavar="WIDTH",
        help='Compare cloth of this width; "usual" for those sold most.',
    ),
    click.option("--price", metavar="PRICE", help='Of the cloth: "12.50 EUR per m".'),
)


def _options(
    *groups: tuple[Callable[[Command], Command], ...],
) -> Callable[[Command], Command]:
    """Put options on a command, in the order in which the help page lists them."""

    def decorate(command: Command) -> Command:
        for group in reversed(groups):
            for option in reversed(group):
                command = option(command)
        return command

    return decorate


@click.command()
@_options(_TAPE, _CLOTH, _JOINS, _BUYING)
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
def fabric(folder: Path | None, force: bool, as_json: bool, **typed: Any) -> None:
    """Work out the fabric for tape, by every way of cutting it.

    \b
    Examples:
      edgefinder fabric --length "4 yd" --cut-width "2 in"
      edgefinder fabric --length 3m --cut-width 36mm --charts charts
      edgefinder fabric --length 3m --cut-width 36mm --price "9 EUR/m"
      edgefinder fabric --from "14 x 44 in" --cut-width "2 in"
      edgefinder fabric --tape neck 2m 36mm --tape hem 3m 48mm --grain bias
      edgefinder fabric --length 2m --cut-width 36mm --scrap "20 x 50 cm"
    """
    from edgefinder.schedule.fabric_answer import answer
    from edgefinder.schedule.fabric_query import read_query

    with progress() as tell:
        tell("working out the fabric", 1, 1)
        found = answer(read_query(_typed(typed)))
    if folder is not None:
        from edgefinder.reports.cutting_files import answer_charts
        from edgefinder.reports.writing import write_tables

        for path in write_tables(folder, answer_charts(found), force=force):
            print_note(f"wrote {path}")
    if as_json:
        from edgefinder.reports.fabric_records import answer_record
        from edgefinder.reports.json_text import to_json

        findings = found.query.findings
        print_text(to_json("fabric", answer_record(found), findings))
        return
    from edgefinder.reports.answer_text import answer_text

    print_text(answer_text(found))
    print_findings(found.query.findings)


_PERCENTS = ("shrinkage_lengthwise", "shrinkage_crosswise", "contingency")


def _typed(options: dict[str, Any]) -> dict[str, object]:
    """Return what was typed, by the words of a job file."""
    found: dict[str, object] = {}
    for key, value in options.items():
        if value is None or value is False or value == ():
            continue
        if key in _PERCENTS:
            found[f"{key}_percent"] = _number(value)
        elif key in {"scrap_grain", "unit_mm"}:
            found[key] = _number(value)
        elif key == "tape":
            found[key] = list(value)
        elif isinstance(value, tuple):
            found[key] = value[0] if len(value) == 1 else list(value)
        else:
            found[key] = value
    return found


def _number(text: str) -> float | str:
    """Return a number if it is one; what it is not is said with all other mistakes."""
    try:
        return float(text.strip().removesuffix("%").replace(",", "."))
    except ValueError:
        return text
