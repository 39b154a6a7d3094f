"""``edgefinder demo``."""

from pathlib import Path

import click

from edgefinder.cli.output import print_findings, print_note, print_text
from edgefinder.cli.own import own_list
from edgefinder.cli.progress import progress

DEMO_JOB = "orchard-apron.toml"
OTHER_JOB = "puddle-smock.toml"


@click.command()
@click.argument(
    "folder",
    metavar="[DIR]",
    required=False,
    default=Path("edgefinder-demo"),
    type=click.Path(path_type=Path),
)
def demo(folder: Path) -> None:
    """Copy the demo pattern and its job file into DIR and print its schedule.

    DIR is edgefinder-demo unless you name another. Files that you have changed there
    are not written over.

    \b
    Example:
      edgefinder demo
    """
    from edgefinder.errors import as_typed
    from edgefinder.reports.release_text import schedule_text
    from edgefinder.reports.writing import copy_files
    from edgefinder.schedule.release import release_from_file

    copy_files(_packaged(), folder)
    with progress() as tell:
        release = release_from_file(folder / DEMO_JOB, own_list(), tell)
    print_text(schedule_text(release))
    print_findings(release.findings)
    other = as_typed(folder / OTHER_JOB)
    print_note(f"the pattern is in {folder}; try: edgefinder schedule {other}")


def _packaged() -> Path:
    """Return the folder of the demo: in the package, or beside it in a checkout."""
    package = Path(__file__).parents[1]
    inside = package / "demo_pattern"
    return inside if inside.is_dir() else package.parent / "fixtures" / "demo"
