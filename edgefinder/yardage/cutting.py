"""What is needed of a tape, and what one way of cutting it comes to.

Words: the cloth lies with its usable width across and its length along the bolt;
a size is always (across, along). A tape's length is measured on its midline.
"""

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from edgefinder.classifier.job import Grain
from edgefinder.classifier.price_words import Price
from edgefinder.classifier.width_words import WIDEST_CLOTH_MM
from edgefinder.constants import (
    BUY_STEP_INCH_MM,
    SHORTEST_STRIP_MM,
    STRIP_SEAM_MM,
    USABLE_WIDTH_MM,
)
from edgefinder.errors import SettingsError, did_you_mean
from edgefinder.units import MAX_LENGTH_MM
from edgefinder.yardage.buying import LEAST_STEP_MM, in_both_units
from edgefinder.yardage.cost import cost_of
from edgefinder.yardage.preparation import (
    UNPREPARED,
    ClothToBuy,
    Preparation,
    cloth_to_buy,
)
from edgefinder.yardage.strip_order import StripOrder
from edgefinder.yardage.tape_run import TapeRun

NARROWEST_CUT_MM: Final = 1.0
"""A strip narrower than this cannot be cut: a slip of the unit."""
MOST_STRIPS: Final = 10_000
"""Nobody sews more strips than this into one tape; larger only costs time."""

COUNT_SLACK: Final = 1e-9
"""Share by which a count may miss a whole number and still be taken for it.

Larger: a strip is promised that the cloth does not hold. Smaller: the rounding error
of a width that was made for n strips loses the last of them.
"""


class Method(StrEnum):
    """How a tape is cut from cloth."""

    TUBE_FROM_SQUARE = "tube from a square"
    TUBE_FROM_RECTANGLE = "tube from a rectangle"
    BIAS_STRIPS = "bias strips"
    CROSSWISE_STRIPS = "crosswise strips"
    LENGTHWISE_STRIPS = "lengthwise strips"


TUBES: Final = frozenset({Method.TUBE_FROM_SQUARE, Method.TUBE_FROM_RECTANGLE})
"""Methods whose strips are one spiral."""


@dataclass(frozen=True, slots=True)
class Need:
    """A tape to be cut, and the cloth it is cut from.

    Parameters
    ----------
    length : float
        Millimetres of tape, joins sewn.
    cut_width : float
        Millimetres, flat, before any fold.
    seam : float
        Millimetres of seam allowance at each join.
    usable_width : float
        Millimetres of cloth between the selvages.
    grain : Grain or None
        The grain that is asked for; None compares all.
    buy_step : float
        Millimetres; cloth is bought in multiples of it.
    minimum_strip : float
        Millimetres; strips shorter than this are not joined.
    preparation : Preparation
        What is bought in addition; the usable width is that of the prepared cloth.
    price : Price or None
        Of the cloth.
    one_way : bool
        Whether the cloth has an up and a down: no strip is turned end for end.
    same_slant : bool
        Whether all joins have to slant the same way.
    run : TapeRun or None
        Where the tape goes, if there are places on it in which no join may lie.
    in_hand : (float, float) or None
        Millimetres across and along of a piece of cloth that is there already; None
        where cloth is cut off the bolt.

    Raises
    ------
    SettingsError
        With one line for each figure that cannot be right.
    """

    length: float
    cut_width: float
    seam: float = STRIP_SEAM_MM
    usable_width: float = USABLE_WIDTH_MM
    grain: Grain | None = None
    buy_step: float = BUY_STEP_INCH_MM
    minimum_strip: float = SHORTEST_STRIP_MM
    preparation: Preparation = UNPREPARED
    price: Price | None = None
    one_way: bool = False
    same_slant: bool = False
    run: TapeRun | None = None
    in_hand: tuple[float, float] | None = None

    def __post_init__(self) -> None:
        mistakes = _mistakes(self)
        if mistakes:
            raise SettingsError(*mistakes)
        if self.grain is not None:
            object.__setattr__(self, "grain", Grain(self.grain))

    @property
    def shortest_strip(self) -> float:
        """The least strip that is worth a join: a short tape needs no long one."""
        return min(self.minimum_strip, self.length)

    @property
    def has_order(self) -> bool:
        """Whether the order of the strips matters, or how their ends lean."""
        return self.one_way or self.same_slant or self.run is not None

    def cost_of(self, bought: float) -> int | None:
        """Say what a length of cloth costs, in the smallest coin; None without price.

        Parameters
        ----------
        bought : float
            Millimetres, a whole number of steps.
        """
        if self.price is None:
            return None
        return cost_of(bought, self.buy_step, self.price)

    def to_buy(self, length: float) -> ClothToBuy:
        """Say what is bought for a length of cloth that is cut into strips."""
        return cloth_to_buy(length, self.preparation, self.buy_step)


def _mistakes(need: Need) -> list[str]:
    """Check every figure; a comparison with NaN is false, so NaN is refused too."""
    above_zero = (
        ("length of tape", need.length, MAX_LENGTH_MM),
        ("usable width of the cloth", need.usable_width, WIDEST_CLOTH_MM),
    )
    at_least = (
        ("cut width", need.cut_width, NARROWEST_CUT_MM, MAX_LENGTH_MM),
        ("seam allowance of a join", need.seam, 0.0, WIDEST_CLOTH_MM),
        ("step in which cloth is bought", need.buy_step, LEAST_STEP_MM, MAX_LENGTH_MM),
        ("shortest strip", need.minimum_strip, 0.0, MAX_LENGTH_MM),
    )
    found = [
        f"the {name} is {value:g} mm; give one above 0 and up to {most:g} mm"
        for name, value, most in above_zero
        if not 0.0 < value <= most
    ]
    found += [
        f"the {name} is {value:g} mm; give one from {least:g} mm to {most:g} mm"
        for name, value, least, most in at_least
        if not least <= value <= most
    ]
    if need.grain is not None and need.grain not in set(Grain):
        hint = did_you_mean(str(need.grain), list(Grain))
        found.append(f'the grain "{need.grain}" is not known{hint}')
    return found


@dataclass(frozen=True, slots=True)
class Cutting:
    """One way to cut the tape that is needed.

    Parameters
    ----------
    need : Need
    method : Method
    cut_size : tuple of float
        Millimetres of cloth to cut off, (across, along) the bolt.
    strip_lengths : tuple of float
        Millimetres on the midline of every strip, in the order in which they lie
        in the cloth; in a tube, from one crossing of its long seam to the next.
    yield_length : float
        Millimetres of tape after all joins.
    joins : int
        Seams to sew: between strips, or the two seams of a tube.
    seams_in_tape : int
        Places where a seam lies in the finished tape.
    line_spacing : float
        Millimetres between ruled lines, square to them: the cut width.
    lines : int
        Lines to rule inside the cloth; edges that are there already are not counted.
    first_line : float or None
        Bias strips: the first line leaves one corner of the cloth by this many
        millimetres along both of its edges. None: the first border is an edge.
    order : StripOrder or None
        In which strips are joined, some of them recut or trimmed; None where any
        order will do in which their ends fit.
    """

    need: Need
    method: Method
    cut_size: tuple[float, float]
    strip_lengths: tuple[float, ...]
    yield_length: float
    joins: int
    seams_in_tape: int
    line_spacing: float
    lines: int
    first_line: float | None = None
    order: StripOrder | None = None

    @property
    def strips(self) -> int:
        """How many strips lie in the cloth."""
        return len(self.strip_lengths)

    @property
    def spare(self) -> float:
        """Tape left over, in millimetres; 0 where some is missing."""
        return max(0.0, self.yield_length - self.need.length)

    @property
    def short(self) -> float:
        """Tape that is missing, in millimetres: only where the cloth is given."""
        return max(0.0, self.need.length - self.yield_length)

    @property
    def waste(self) -> float:
        """Share of the cloth cut off that does not become tape that is needed.

        1 - length x cut width / (across x along): seams, corners, the rest beside
        the last line and spare tape are waste; what stays on the bolt is not.
        """
        across, along = self.cut_size
        needed = self.need.length * self.need.cut_width
        return max(0.0, 1.0 - needed / (across * along))  # never -1e-16

    @property
    def bought(self) -> ClothToBuy:
        """What is bought off the bolt, part by part."""
        return self.need.to_buy(self.cut_size[1])

    @property
    def buy(self) -> float:
        """Length of cloth off the bolt, in millimetres, rounded up to the step."""
        return self.bought.buy

    @property
    def cost(self) -> int | None:
        """What is paid for it, in the smallest coin; None without a price."""
        return self.need.cost_of(self.buy)


@dataclass(frozen=True, slots=True)
class NotPossible:
    """A method that cannot give the tape, and why not."""

    method: Method
    reason: str


def whole_count(value: float) -> int:
    """Count what fits whole; a rounding error below a whole number is forgiven."""
    return math.floor(value + COUNT_SLACK * max(1.0, abs(value)))


def least_count(value: float) -> int:
    """Count what is enough; a rounding error above a whole number is forgiven."""
    return math.ceil(value - COUNT_SLACK * max(1.0, abs(value)))


def too_many_strips(method: Method) -> NotPossible:
    """Refuse a method that would need more strips than anybody sews."""
    return NotPossible(
        method, f"it would take more than {MOST_STRIPS} strips; use a wider cloth"
    )


def too_narrow(
    method: Method, need: Need, longest: float, shortest: float
) -> NotPossible:
    """Refuse a method whose longest strip is too short to be joined."""
    return NotPossible(
        method,
        f"cloth {in_both_units(need.usable_width)} wide gives strips of at most "
        f"{in_both_units(longest)}, but tape cut {in_both_units(need.cut_width)} wide "
        f"takes strips of at least {in_both_units(shortest)}; use a wider cloth",
    )


def without_rounding(yielded: float, need: Need) -> float:
    """Lift a yield that misses the need by a rounding error only."""
    if math.isclose(yielded, need.length, rel_tol=COUNT_SLACK):
        return max(yielded, need.length)
    return yielded
