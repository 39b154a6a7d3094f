"""The command ``edgefinder`` and how it ends.

Exit codes: 0 done; 2 something that the person can mend, said in one line each on
standard error; 130 interrupted; 70 a mistake of the program.
"""

import traceback
from typing import Any

import click

from edgefinder import __version__
from edgefinder.cli.curves import curves
from edgefinder.cli.demo import demo
from edgefinder.cli.edges import edges
from edgefinder.cli.fabric import fabric
from edgefinder.cli.lines import lines
from edgefinder.cli.new import new
from edgefinder.cli.schedule import schedule
from edgefinder.errors import EdgefinderError, one_line

CAN_BE_MENDED = 2
INTERRUPTED = 130
INTERNAL = 70


class Commands(click.Group):
    """The one place where errors become exit codes."""

    def invoke(self, ctx: click.Context) -> Any:
        """Run a command; say in one line each what the person can mend."""
        try:
            return super().invoke(ctx)
        except EdgefinderError as error:
            for message in error.messages:
                click.echo(f"error: {message}", err=True)
            ctx.exit(CAN_BE_MENDED)
        except KeyboardInterrupt:
            ctx.exit(INTERRUPTED)
        except (click.ClickException, click.exceptions.Exit, click.Abort, OSError):
            raise
        except Exception as error:
            if ctx.params.get("debug"):
                traceback.print_exc()
            said = one_line(f"{type(error).__name__}: {error}")
            click.echo(
                f"internal error: {said}; this is a mistake of edgefinder: please "
                "report it with the drawing, and what --debug prints",
                err=True,
            )
            ctx.exit(INTERNAL)


@click.group(
    cls=Commands,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
@click.version_option(__version__, prog_name="edgefinder")
@click.option("-q", "--quiet", is_flag=True, help="Say only warnings and errors.")
@click.option("--debug", is_flag=True, help="Show where a mistake of the program is.")
def main(quiet: bool, debug: bool) -> None:
    r"""From a drawn sewing pattern to a binding schedule.

    \b
    Begin with:
      edgefinder demo                  an invented pattern, and its schedule
      edgefinder new apron.svg         a job file for a drawing of your own
      edgefinder edges apron.toml      the numbers of its edges
      edgefinder schedule apron.toml   tape and fabric for every size
    """


for command in (lines, edges, new, curves, fabric, schedule, demo):
    main.add_command(command)
