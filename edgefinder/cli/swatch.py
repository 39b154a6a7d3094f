"""``edgefinder swatch``."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from edgefinder.cli.options import (
    LengthType,
    LoadType,
    TypedLength,
    dry_run_option,
    json_option,
)
from edgefinder.cli.output import print_edited, print_text, save_edited
from edgefinder.cli.own import own_list_path

if TYPE_CHECKING:
    from edgefinder.schedule.tag_edits import Edited


@dataclass(frozen=True, slots=True)
class _Target:
    """Where a cloth goes: into a job file, the own list, or nowhere."""

    name: str | None
    job: Path | None
    is_own: bool
    dry_run: bool


@click.command()
@click.option(
    "--marked",
    type=LengthType(),
    required=True,
    help="Between two marks on a strip of true bias, lying flat.",
)
@click.option(
    "--stretched",
    type=LengthType(),
    required=True,
    help="The same, when it begins to pucker.",
)
@click.option(
    "--eased", type=LengthType(), help="The same, pushed together until it ripples."
)
@click.option("--width-before", type=LengthType(), help="Of the strip, lying flat.")
@click.option("--width-after", type=LengthType(), help="Of the strip, stretched.")
@click.option(
    "--load", type=LoadType(), help='That hangs on it when stretched: "100 g".'
)
@click.option("--cloth", "name", metavar="NAME", help="Name of the cloth.")
@click.option(
    "--job",
    type=click.Path(path_type=Path),
    metavar="JOB",
    help="Write the cloth into this job file.",
)
@click.option("--own", is_flag=True, help="Write it into your own list of cloths.")
@dry_run_option
@json_option
def swatch(
    marked: TypedLength,
    stretched: TypedLength,
    eased: TypedLength | None,
    width_before: TypedLength | None,
    width_after: TypedLength | None,
    load: float | None,
    name: str | None,
    job: Path | None,
    own: bool,
    dry_run: bool,
    as_json: bool,
) -> None:
    """Turn a measured strip of cloth into what it stretches and eases.

    Cut the strip 25 mm wide on the true bias, mark 100 mm on it, hang 100 g on it.

    \b
    Examples:
      edgefinder swatch --marked 100mm --stretched 118mm
      edgefinder swatch --marked 4in --stretched "4 3/4 in" --cloth barn --own
      edgefinder swatch --marked 100mm --stretched 118mm --eased 95mm \\
        --cloth "barn lawn" --job orchard-apron.toml --dry-run
    """
    target = _Target(name, job, own, dry_run)
    _check(target)
    from edgefinder.binding.swatch import Swatch, cloth_percents, read_swatch
    from edgefinder.units import Unit

    measured = Swatch(
        marked.length,
        stretched.length,
        _length(eased),
        _length(width_before),
        _length(width_after),
        load,
    )
    result = read_swatch(measured)
    percents = cloth_percents(result)
    edited = _edited(target, percents)
    if as_json:
        from edgefinder.reports.json_text import to_json
        from edgefinder.reports.swatch_records import swatch_record

        record = swatch_record(measured, result, _record(target, percents, edited))
        if edited is not None and not dry_run:
            save_edited(edited)
        print_text(to_json("swatch", record, edited.findings if edited else ()))
        return
    from edgefinder.reports.swatch_text import swatch_text

    typed = width_before or marked
    unit = Unit.INCH if typed.is_inches else Unit.MILLIMETRE
    print_text(swatch_text(measured, result, unit))
    if edited is not None:
        if dry_run:
            print_text("\n")
        print_edited(edited, dry_run=dry_run)
    elif name is not None:
        from edgefinder.classifier.editing.job_edits import write_cloth

        print_text(f"\n{write_cloth('', name, percents)}")


def _check(target: _Target) -> None:
    """Refuse options that contradict each other."""
    if target.job is not None and target.is_own:
        raise click.UsageError("choose one of --job and --own")
    if target.name is None and (target.job is not None or target.is_own):
        raise click.UsageError("say what the cloth is called: --cloth NAME")
    if target.name is not None and not target.name.strip():
        raise click.UsageError("--cloth: the name is empty")
    if target.dry_run and target.job is None and not target.is_own:
        raise click.UsageError("--dry-run goes with --job or --own")


def _length(typed: TypedLength | None) -> float | None:
    return None if typed is None else typed.length


def _edited(target: _Target, percents: Mapping[str, float]) -> "Edited | None":
    """Work out the change to a file; make the folder of a list that is to come."""
    if target.name is None:
        return None
    if target.job is not None:
        from edgefinder.schedule.cloth_edits import cloth_in_job

        return cloth_in_job(target.job, target.name, percents)
    if not target.is_own:
        return None
    from edgefinder.files import make_folder
    from edgefinder.schedule.cloth_edits import cloth_in_list

    path = own_list_path()
    edited = cloth_in_list(path, target.name, percents)
    if not target.dry_run:
        make_folder(path.parent)
    return edited


def _record(
    target: _Target, percents: Mapping[str, float], edited: "Edited | None"
) -> dict[str, object] | None:
    if target.name is None:
        return None
    from edgefinder.classifier.editing.text_diff import unified_diff
    from edgefinder.reports.swatch_records import cloth_record

    name = " ".join(target.name.split())
    if edited is None:
        return cloth_record(name, percents, None, "")
    file = str(edited.path)
    change = unified_diff(file, edited.before, edited.after)
    return cloth_record(name, percents, file, change)
