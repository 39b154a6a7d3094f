"""The command ``edgefinder`` and how it ends.

Exit codes: 0 done; 1 done, and ``compare`` found that something differs; 2 something
that the person can mend, said in one line each on standard error; 130 interrupted; 70
a mistake of the program.
"""

import os
from importlib import import_module
from types import MappingProxyType
from typing import Any, Final

import click

from edgefinder import __version__
from edgefinder.cli.output import print_said
from edgefinder.errors import EdgefinderError, did_you_mean, one_line

DIFFERENT: Final = 1
CAN_BE_MENDED: Final = 2
INTERRUPTED: Final = 130
INTERNAL: Final = 70

COMMANDS: Final = MappingProxyType(
    {
        "lines": "List every drawn line of FILE.",
        "edges": "Show the pieces of FILE and their numbered edges.",
        "new": "Write a commented job file for the drawing FILE.",
        "tag": "Say what happens to edges, in the job file JOB.",
        "untag": "Take edges out of the rules of JOB.",
        "tags": "Show what happens to every edge of JOB, and why.",
        "curves": "Show where the tape of JOB does not lie flat.",
        "widths": "Show which finished widths lie flat along the runs of JOB.",
        "swatch": "Turn a measured strip of cloth into what it stretches and eases.",
        "fabric": "Work out the fabric for a length of tape.",
        "schedule": "Work out tape and fabric for every size of JOB.",
        "picture": "Draw the pieces of JOB: edges, runs and places to watch.",
        "words": "Write each run of JOB in words for a pattern's instructions.",
        "mark": "Copy the drawing of JOB and add edge numbers, runs and places.",
        "page": "Open a page to point at the edges that are bound.",
        "compare": "Say what differs between OLD and NEW.",
        "demo": "Copy the demo pattern into DIR and print its schedule.",
    }
)
"""Every command with its line in the help page. Each is a function of its own name in
a module of its own name, which is loaded when it is asked for: the help page itself
must not wait for them."""


class Commands(click.Group):
    """Load commands when they are asked for, and turn errors into exit codes."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002
        """Return the names of all commands, in the order of the work."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Load a command."""
        if cmd_name not in COMMANDS:
            return super().get_command(ctx, cmd_name)
        module = import_module(f"edgefinder.cli.{cmd_name}")
        command: click.Command = getattr(module, cmd_name)
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Suggest the nearest name for a command that is not there."""
        if args[0] not in COMMANDS and not args[0].startswith("-"):
            near = did_you_mean(args[0], COMMANDS)
            ctx.fail(f'there is no command "{one_line(args[0])}"{near}')
        return super().resolve_command(ctx, args)

    def format_commands(
        self,
        ctx: click.Context,  # noqa: ARG002
        formatter: click.HelpFormatter,
    ) -> None:
        """List the commands without loading them."""
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))

    def invoke(self, ctx: click.Context) -> Any:
        """Run a command; say in one line each what the person can mend."""
        if ctx.params.get("plain") or _wants_no_colour():
            ctx.color = False
        try:
            return super().invoke(ctx)
        except EdgefinderError as error:
            for message in error.messages:
                print_said(f"error: {message}")
            ctx.exit(CAN_BE_MENDED)
        except KeyboardInterrupt:
            ctx.exit(INTERRUPTED)
        except (click.ClickException, click.exceptions.Exit, click.Abort, OSError):
            raise
        except Exception as error:
            if ctx.params.get("debug"):
                import traceback

                traceback.print_exc()
            said = one_line(f"{type(error).__name__}: {error}")
            print_said(
                f"internal error: {said}; this is a mistake of edgefinder: please "
                "report it with the drawing, and what --debug prints"
            )
            ctx.exit(INTERNAL)


def _wants_no_colour() -> bool:
    """Whether the environment says so: no-color.org, "present and not empty"."""
    return bool(os.environ.get("NO_COLOR")) or os.environ.get("TERM") == "dumb"


@click.group(
    cls=Commands,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
@click.version_option(__version__, prog_name="edgefinder")
@click.option("-q", "--quiet", is_flag=True, help="Say only warnings and errors.")
@click.option("--no-color", "plain", is_flag=True, help="Print nothing in colour.")
@click.option("--debug", is_flag=True, help="Show where a mistake of the program is.")
def main(quiet: bool, plain: bool, debug: bool) -> None:
    """From a drawn sewing pattern to a binding schedule.

    \b
    Begin with:
      edgefinder demo                         an invented pattern, its schedule
      cd edgefinder-demo                      here all examples of the help work
      edgefinder edges orchard-apron.toml     its pieces and their edges
      edgefinder schedule orchard-apron.toml  tape and fabric for every size
    and then, for a drawing of your own:
      edgefinder new FILE                     a job file to be filled in
    """
