"""Working out one size: laying and judging its runs, cutting its tapes."""

import math
from collections.abc import Hashable, Mapping, Sequence
from dataclasses import replace

from edgefinder.binding.laying import lay_runs
from edgefinder.binding.tape import Tape, tape_named
from edgefinder.classifier.job import Job
from edgefinder.classifier.tags import TaggedSize
from edgefinder.curvature.judgement import RunJudgement, judge_runs
from edgefinder.curvature.widths import widest_everywhere
from edgefinder.errors import SettingsError, told_of
from edgefinder.memory import Memory
from edgefinder.schedule.avoid import Begin, Pass, TapeWay, avoided_places, tape_way
from edgefinder.schedule.fabric_need import fabric_need, widths_of
from edgefinder.schedule.one_cuts import GrainCut, TapeToCut, grain_cuts
from edgefinder.schedule.reading import PatternTagged
from edgefinder.schedule.size_rows import RunRow, SizeSchedule, TapeRow
from edgefinder.schedule.usual_widths import counted_widths
from edgefinder.yardage.buying_table import buying_table
from edgefinder.yardage.from_rectangle import FromRectangle, from_rectangle
from edgefinder.yardage.methods import CuttingPlan, cut_everything
from edgefinder.yardage.one_cut import WantedTape
from edgefinder.yardage.packets import Packets, packets
from edgefinder.yardage.scraps import Scrap, ScrapCover, least_scraps
from edgefinder.yardage.tape_length import tape_length
from edgefinder.yardage.tape_run import TapeRun


def size_schedule(
    pattern: PatternTagged,
    size: TaggedSize,
    scraps: Sequence[Scrap],
    said_of_runs: Mapping[int, object],
    memory: Memory,
) -> SizeSchedule:
    """Work out one size.

    Parameters
    ----------
    pattern : PatternTagged
    size : TaggedSize
        Of the pattern.
    scraps : sequence of Scrap
        That are there.
    said_of_runs : mapping of int to object
        See `tokens_of_runs`.
    memory : Memory
        Only what changed is worked out again.

    Returns
    -------
    SizeSchedule

    Raises
    ------
    EdgefinderError
        If a run cannot be laid, or a tape cannot be cut.
    """
    runs = _runs(pattern, size, said_of_runs, memory)
    used = [tape for tape in pattern.tapes if any(r.run.tape is tape for r in runs)]
    tapes = tuple(
        _tape(
            tape,
            [row for row in runs if row.run.tape is tape],
            pattern,
            size,
            scraps,
            memory,
        )
        for tape in used
    )
    cuts = memory.recall(("cuts", tapes), lambda: _cuts(tapes))
    return SizeSchedule(size.size, size, runs, tapes, cuts)


def _cuts(tapes: Sequence[TapeRow]) -> tuple[GrainCut, ...]:
    return grain_cuts(
        [
            TapeToCut(
                WantedTape(row.tape.name, row.plan.need),
                row.tape.cloth.name,
                row.tape.grain,
                row.plan.least_cloth,
            )
            for row in tapes
        ]
    )


def _runs(
    pattern: PatternTagged,
    size: TaggedSize,
    said_of_runs: Mapping[int, object],
    memory: Memory,
) -> tuple[RunRow, ...]:
    job = pattern.job
    angle = job.finding.corner_angle

    def make(missing: list[int]) -> list[RunRow]:
        some = [size.runs[i] for i in missing]
        judged = judge_runs(lay_runs(size, pattern.tapes, angle, some, memory))
        return [_run(one, job) for one in judged]

    said = memory.token((angle, job.seam_allowance, job.fabric.strip_seam))
    by_name = {tagged.piece.name: tagged for tagged in size.pieces}
    keys = []
    for run in size.runs:
        along = [by_name[group.piece.name] for group in run.groups]
        pieces: list[Hashable] = [
            (one.piece, one.fold, one.allowances) for one in along
        ]
        if len(along) > 1:  # where it crosses seams
            pieces += [(one.finishes, one.cut) for one in along]
        groups = tuple((one.copies, one.is_against, one.is_whole) for one in run.groups)
        keys.append(
            ("run", size.size, said, said_of_runs[id(run.settings)], groups, *pieces)
        )
    return tuple(memory.recall_all(keys, make))


def tokens_of_runs(pattern: PatternTagged, memory: Memory) -> dict[int, object]:
    """Return a token of what is said of each run, wherever in the job file it stands.

    By the identity of its settings, which are one thing in all sizes.
    """
    settings = {id(r.settings): r.settings for size in pattern.sizes for r in size.runs}
    return {
        key: memory.token(
            (
                replace(one, edges=()),
                tuple(word.text for word in one.edges),
                tape_named(one.tape, pattern.tapes),
            )
        )
        for key, one in settings.items()
    }


def _run(judged: RunJudgement, job: Job) -> RunRow:
    tape = judged.run.tape
    limits = tape.cloth.along(tape.grain)
    whole = tape_length(judged, job.seam_allowance, job.fabric.strip_seam)
    return RunRow(judged, whole, widest_everywhere(judged.run.legs, limits))


def _tape(
    tape: Tape,
    rows: Sequence[RunRow],
    pattern: PatternTagged,
    size: TaggedSize,
    scraps: Sequence[Scrap],
    memory: Memory,
) -> TapeRow:
    job = pattern.job

    def make() -> TapeRow:
        total = math.fsum(row.tape_to_cut for row in rows)
        limited = [row.widest for row in rows if row.widest is not None]
        way = tape_way(_passes(rows, pattern, size))
        plan = _plan(tape, total, job, way.run)
        return TapeRow(
            tape=tape,
            total=total,
            plan=plan,
            packets=_packets(tape, rows, job),
            widest=min(limited, default=None),
            widths=counted_widths(tape, [row.run for row in rows], job, memory),
            cloths=buying_table(plan.need, widths_of(job.fabric)),
            begins=_begins(way, plan),
            passes=way.passes,
            rectangle=_rectangle(plan, job),
            scraps=_scraps(plan, scraps),
        )

    if any(row.run.settings.avoid_joins_at for row in rows):
        return make()  # marks of other pieces and sizes count too
    said = memory.token((tape, job.fabric, job.fold_tools, job.unit, tuple(scraps)))
    return memory.recall(("tape row", size.size, said, tuple(rows)), make)


def _rectangle(plan: CuttingPlan, job: Job) -> FromRectangle | None:
    piece = job.fabric.rectangle
    return None if piece is None else from_rectangle(plan.need, *piece)


def _scraps(plan: CuttingPlan, scraps: Sequence[Scrap]) -> ScrapCover | None:
    if not scraps:
        return None
    need = plan.need
    return least_scraps(scraps, need, may_turn=not need.one_way)


def _passes(
    rows: Sequence[RunRow], pattern: PatternTagged, size: TaggedSize
) -> list[Pass]:
    """List every pass of every run of a tape, with the places to avoid."""
    passes: list[Pass] = []
    mistakes: list[str] = []
    for row in rows:
        try:
            places = avoided_places(row.judged, size, pattern.sizes, pattern.job)
        except SettingsError as error:
            mistakes += error.messages
            continue
        one = Pass(row.judged, row.tape_length, places)
        passes += [one] * row.run.settings.times
    if mistakes:
        raise SettingsError(*mistakes)
    return passes


def _begins(way: TapeWay, plan: CuttingPlan) -> tuple[Begin, ...]:
    """Say where loops begin; that of a single loop is found with its strips."""
    best = plan.least_cloth
    if way.loop and best is not None and best.order is not None and best.order.start:
        return (Begin(way.loop, best.order.start),)
    return way.begins


def _plan(tape: Tape, total: float, job: Job, run: TapeRun | None) -> CuttingPlan:
    with told_of(f'{job.path}: tapes "{tape.name}"'):
        return cut_everything(
            fabric_need(job.fabric, total, tape.cut_width, tape.grain, run)
        )


def _packets(tape: Tape, rows: Sequence[RunRow], job: Job) -> Packets | None:
    if tape.packet_length is None:
        return None
    needs = [
        row.tape_length.total for row in rows for _ in range(row.run.settings.times)
    ]
    with told_of(f'{job.path}: tapes "{tape.name}"'):
        return packets(needs, tape.packet_length, tape.cut_width)
