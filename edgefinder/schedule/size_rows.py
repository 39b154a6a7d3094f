"""What is worked out for one size: its runs, tapes and cuts of cloth."""

from dataclasses import dataclass

from edgefinder.binding.runs import Run
from edgefinder.binding.tape import Tape
from edgefinder.classifier.tags import TaggedSize
from edgefinder.curvature.judgement import RunJudgement
from edgefinder.curvature.widths import WidthCount
from edgefinder.schedule.avoid import Begin
from edgefinder.schedule.one_cuts import GrainCut
from edgefinder.yardage.buying_table import WidthRows
from edgefinder.yardage.from_rectangle import FromRectangle
from edgefinder.yardage.methods import CuttingPlan
from edgefinder.yardage.packets import Packets
from edgefinder.yardage.scraps import ScrapCover
from edgefinder.yardage.tape_length import TapeLength


@dataclass(frozen=True, slots=True, eq=False)
class RunRow:
    """One run in one size.

    Parameters
    ----------
    judged : RunJudgement
    tape_length : TapeLength
        Of one pass; the run is sewn ``settings.times`` times.
    widest : float or None
        Millimetres of finished width that lie flat everywhere along it; None where
        no curve limits it.
    """

    judged: RunJudgement
    tape_length: TapeLength
    widest: float | None

    @property
    def run(self) -> Run:
        """The run itself."""
        return self.judged.run

    @property
    def tape_to_cut(self) -> float:
        """Millimetres of tape for all passes."""
        return self.tape_length.total * self.run.settings.times


@dataclass(frozen=True, slots=True, eq=False)
class TapeRow:
    """One tape in one size.

    Parameters
    ----------
    tape : Tape
    total : float
        Millimetres for all runs of it.
    plan : CuttingPlan
        Every way to cut it from the job's fabric.
    packets : Packets or None
        For ready-made tape.
    widest : float or None
        Millimetres of finished width that lie flat along all of its runs; None
        where no curve limits it.
    widths : tuple of WidthCount
        Usual widths, and those of the person's fold tools, against places that are
        steam or too tight.
    cloths : tuple of WidthRows
        What to buy of cloth of other widths, where the job asks for it.
    begins : tuple of Begin
        Where loops are begun so that no join lies where it must not.
    passes : tuple of Begin
        Where along the joined tape every pass begins; empty where it does not matter.
    rectangle : FromRectangle or None
        What the piece of cloth gives that the job says is there.
    scraps : ScrapCover or None
        The same of scraps.
    """

    tape: Tape
    total: float
    plan: CuttingPlan
    packets: Packets | None
    widest: float | None
    widths: tuple[WidthCount, ...]
    cloths: tuple[WidthRows, ...] = ()
    begins: tuple[Begin, ...] = ()
    passes: tuple[Begin, ...] = ()
    rectangle: FromRectangle | None = None
    scraps: ScrapCover | None = None


@dataclass(frozen=True, slots=True, eq=False)
class SizeSchedule:
    """Everything that is said about one size."""

    size: str
    tagged: TaggedSize
    runs: tuple[RunRow, ...]
    tapes: tuple[TapeRow, ...]
    cuts: tuple[GrainCut, ...] = ()
