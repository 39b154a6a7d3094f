"""Options and arguments that several commands share."""

import math
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple, TypeVar

import click

from edgefinder.cli.completing import complete_pieces, complete_sizes

Command = TypeVar("Command", bound=Callable[..., Any])


class TypedLength(NamedTuple):
    """A length in millimetres, whether it was typed in inches, and as it was typed."""

    length: float
    is_inches: bool
    text: str


if TYPE_CHECKING:
    from edgefinder.units import Unit

    LengthBase = click.ParamType[TypedLength]
    LoadBase = click.ParamType[float]
else:  # older releases of click do not know its type
    LengthBase = LoadBase = click.ParamType


class LengthType(LengthBase):
    """A length with its unit: ``3/8 in``, ``9.5mm``, ``1/4 yd``."""

    name = "length"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> TypedLength:
        """Read a length, or fail in the words of the units module."""
        if isinstance(value, TypedLength):
            return value
        from edgefinder.errors import SettingsError
        from edgefinder.units import parse_length

        try:
            length = parse_length(str(value))
        except SettingsError as error:
            self.fail(str(error), param, ctx)
        text = str(value).casefold()
        is_inches = any(sign in text for sign in _INCH_SIGNS)
        return TypedLength(length, is_inches, " ".join(str(value).split()))


class LoadType(LoadBase):
    """A load with its unit, in newtons: ``100 g``, ``1N``, ``3 1/2 oz``."""

    name = "load"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> float:
        """Read a load, or fail in the words of the units module."""
        if isinstance(value, float):
            return value
        from edgefinder.errors import SettingsError
        from edgefinder.units import parse_load

        try:
            return parse_load(str(value))
        except SettingsError as error:
            self.fail(str(error), param, ctx)


UNITS = ("in", "mm", "cm")
"""Those of `edgefinder.units.Unit`, which is not loaded to print a help page."""

_INCH_SIGNS = ("in", '"', "'", "″", "”", "f", "y")


def file_argument(name: str) -> Callable[[Command], Command]:
    """Take one file name; the readers say what is wrong with it."""
    return click.argument(name.lower(), metavar=name, type=click.Path(path_type=Path))


def json_option(command: Command) -> Command:
    """Print JSON with full precision in millimetres."""
    return click.option(
        "--json", "as_json", is_flag=True, help="Full precision in mm, for programs."
    )(command)


def unit_mm_option(command: Command) -> Command:
    """Say how long a drawing unit is."""
    return click.option(
        "--unit-mm",
        type=click.FloatRange(min=0, min_open=True),
        callback=_finite,
        metavar="MM",
        help="Millimetres per drawing unit, 25.4 for inches; overrides the file.",
    )(command)


def test_square_option(command: Command) -> Command:
    """Scale a drawing by its test square."""
    return click.option(
        "--test-square",
        type=LengthType(),
        callback=_positive,
        metavar="SIDE",
        help='True side of the drawn test square, "2 in"; the drawing is scaled by it.',
    )(command)


DIALECTS = ("auto", "plain", "interchange")
"""Those of `edgefinder.pattern.settings.Dialect`, not loaded for a help page either."""


def dialect_option(command: Command) -> Command:
    """Say what the layers and blocks of a DXF mean."""
    return click.option(
        "--dialect",
        type=click.Choice(DIALECTS),
        help="How a DXF is meant, where that is not seen rightly.",
    )(command)


def positive_width(
    ctx: click.Context, param: click.Parameter, value: tuple[TypedLength, ...]
) -> tuple[TypedLength, ...]:
    """Refuse a tape that is nothing wide."""
    for typed in value:
        if typed.length == 0:
            raise click.BadParameter(f'"{typed.text}" is no width.', ctx, param)
    return value


def _positive(
    ctx: click.Context, param: click.Parameter, value: TypedLength | None
) -> TypedLength | None:
    """Refuse a square without a side."""
    if value is not None and value.length == 0:
        raise click.BadParameter(f'"{value.text}" is no side of a square.', ctx, param)
    return value


def _finite(
    ctx: click.Context, param: click.Parameter, value: float | None
) -> float | None:
    """Refuse nan and inf, which are numbers to click."""
    if value is not None and not math.isfinite(value):
        raise click.BadParameter(f"{value} is not a finite number.", ctx, param)
    return value


def unit_option(command: Command) -> Command:
    """Choose the unit that figures are printed in."""
    return click.option(
        "--unit",
        type=click.Choice(UNITS),
        help="Unit that figures are printed in.",
    )(command)


def unit_of(value: str | None) -> "Unit | None":
    """Return the unit that was chosen; None where the job file says it."""
    from edgefinder.units import Unit

    return None if value is None else Unit(value)


def dry_run_option(command: Command) -> Command:
    """Show what would be written and write nothing."""
    return click.option(
        "--dry-run", is_flag=True, help="Show the change (unified diff); write nothing."
    )(command)


def size_option(command: Command) -> Command:
    """Restrict a report to some sizes."""
    return click.option(
        "--size",
        "only",
        multiple=True,
        metavar="SIZE",
        shell_complete=complete_sizes,
        help="Only this size; may be given several times.",
    )(command)


def piece_option(command: Command) -> Command:
    """Restrict a picture to some pieces."""
    return click.option(
        "--piece",
        "pieces",
        multiple=True,
        metavar="PIECE",
        shell_complete=complete_pieces,
        help="Only this piece; may be given several times.",
    )(command)


def written_file_options(help_text: str) -> Callable[[Command], Command]:
    """Name the one file that a command writes, and say whether over another make."""

    def add(command: Command) -> Command:
        output = click.option(
            "-o",
            "--output",
            required=True,
            type=click.Path(path_type=Path),
            metavar="FILE",
            help=help_text,
        )
        force = click.option(
            "--force", is_flag=True, help="Write over a file of another make."
        )
        return output(force(command))

    return add
