import math
from dataclasses import replace
from pathlib import Path as FilePath

import pytest
from shapes import circle_outline, rounded_rectangle
from tape_cases import job_of, leg_along, runs_of

from edgefinder.binding.runs import Leg
from edgefinder.binding.tape import Tape, make_tapes
from edgefinder.classifier.job import Grain
from edgefinder.curvature.advice import PlaceReport, Remedy, report_places
from edgefinder.curvature.places import find_places
from edgefinder.curvature.scanning import scan
from edgefinder.curvature.verdict import Verdict
from edgefinder.geometry.path import Path, reverse_path
from edgefinder.geometry.segments import arc_segments
from edgefinder.reports.place_text import place_advice
from edgefinder.units import Unit

OK_INSIDE = 108 / 97 - 1
"""w / R on an inside curve of quilting cotton, without effort (derived)."""
LIMIT_INSIDE = 118 / 95 - 1


@pytest.fixture
def tape(tmp_path: FilePath) -> Tape:
    settings = '[[tapes]]\nname = "main"\nfinished_width = "9 mm"\n'
    (made,), _ = make_tapes(job_of(tmp_path, "", settings))
    return made


def report_of(leg: Leg, tape: Tape) -> PlaceReport:
    seen = scan([leg], tape.finished_width, tape.cloth.along(tape.grain))
    ((place,),) = find_places(seen)
    (report,) = report_places([place], tape)
    return report


def hole(radius: float) -> Leg:
    return leg_along(reverse_path(circle_outline(radius)))


def disc(radius: float) -> Leg:
    return leg_along(circle_outline(radius))


def remedies(report: PlaceReport) -> list[Remedy]:
    return [advice.remedy for advice in report.advice]


def test_an_inside_place_within_the_limit_is_stretched_with_steam(tape: Tape) -> None:
    report = report_of(hole(50.0), tape)

    narrower = report.advice[1]
    assert report.place.verdict == Verdict.STEAM
    assert remedies(report) == [Remedy.STEAM, Remedy.NARROWER, Remedy.CLOTH]
    assert narrower.length == pytest.approx(50 * OK_INSIDE)
    assert report.widest_flat == narrower.length
    assert report.stretch_needed == pytest.approx(1.18 * 0.95 - 1)
    assert report.feed == pytest.approx(1.0)  # 1.18 / 1.18


def test_a_sharper_inside_place_is_told_how_much_tape_to_ease_on(tape: Tape) -> None:
    report = report_of(hole(40.0), tape)

    steam, ease, *_ = report.advice
    assert report.place.verdict == Verdict.STEAM
    assert (steam.remedy, ease.remedy) == (Remedy.STEAM, Remedy.EASE)
    # max g/(1 + e+) and min g/(1 - e-): 1 + 9/40 over 1.18, 1 over 0.95
    assert ease.feeds == pytest.approx((1.225 / 1.18, 1 / 0.95))
    told = place_advice(report, Unit.MILLIMETRE)
    assert told[1] == "ease the tape on, 3.8 to 5.3 % more than edge"


def test_an_outside_place_within_the_limit_is_shaped_with_steam(tape: Tape) -> None:
    report = report_of(disc(60.0), tape)

    assert remedies(report) == [Remedy.SHRINK, Remedy.NARROWER, Remedy.CLOTH]
    assert report.widest_flat == pytest.approx(60 * (1 - 97 / 108))
    assert report.stretch_needed == pytest.approx(0.95 / 0.85 - 1)
    assert report.feed == pytest.approx(0.85 / 0.95)
    # The fold is as much longer than it was as there is less tape than edge: 1/f - 1.
    assert report.advice[0].feeds == pytest.approx((1 / 1.18, 0.85 / 0.95))
    assert place_advice(report, Unit.MILLIMETRE)[0] == (
        "shape the tape with steam first: stretch its fold by 12 to 18 %, shrink its "
        "open edges"
    )


def test_a_place_that_is_too_tight_is_told_the_cloth_and_the_curve_that_would_do(
    tape: Tape,
) -> None:
    report = report_of(hole(30.0), tape)

    narrower, stretchier, other, redraw = report.advice
    assert report.place.verdict == Verdict.TOO_TIGHT
    assert other.remedy is Remedy.CLOTH
    assert other.verdict is Verdict.STEAM
    # S - 1 at the limit must be 0.3: wool 1.20 / 0.88, chiffon 1.28 / 0.92.
    assert other.cloths == ("wool suiting", "chiffon")
    assert narrower.length == pytest.approx(30 * OK_INSIDE)
    assert stretchier.stretch == pytest.approx(1.3 * 0.95 - 1)
    assert stretchier.stretch == report.stretch_needed
    assert redraw.length == pytest.approx(9 / LIMIT_INSIDE)
    assert report.feed == pytest.approx(1.3 / 1.18)  # max g / (1 + e+)


def test_a_curve_tighter_than_the_tape_is_wide_has_no_flat_band(
    tape: Tape,
) -> None:
    report = report_of(disc(8.0), tape)

    assert report.place.verdict == Verdict.MITRE
    assert remedies(report) == [Remedy.SHAPED, Remedy.NARROWER, Remedy.REDRAW]
    assert report.stretch_needed is None
    assert report.laid_width is None
    assert report.restoring_cut_width is None


def test_a_mitre_has_the_angle_and_the_length_of_its_fold(tape: Tape) -> None:
    """A quarter of a small circle turns the tape like a corner of 90 degrees."""
    corner = leg_along(reverse_path(rounded_rectangle(200.0, 100.0, 2.0)))
    seen = scan([corner], tape.finished_width, tape.cloth.along(tape.grain))
    place = next(p for p in find_places(seen)[0] if p.verdict is Verdict.MITRE)

    (report,) = report_places([place], tape)
    mitre, clip, *_ = report.advice

    assert clip.remedy is Remedy.CLIP
    assert place.turn == pytest.approx(-math.pi / 2, rel=0.15)  # its fringes milder
    assert mitre.angle == pytest.approx(abs(place.turn) / 2)
    assert mitre.length == pytest.approx(9 / math.cos(abs(place.turn) / 2))


@pytest.mark.parametrize("turn", [100.0, 119.0, 121.0, 158.0, 180.0])
def test_a_fold_is_advised_only_where_one_takes_the_turn(
    tape: Tape, turn: float
) -> None:
    """A strip of 200 mm round a neck of 54 mm is cut to shape, and not folded once."""
    sweep = math.radians(turn)
    neck = reverse_path(Path(arc_segments([0], 54, 54j, 0.0, sweep), closed=False))
    report = report_of(leg_along(neck), replace(tape, finished_width=200.0))

    assert report.place.verdict == Verdict.MITRE
    folds = [a for a in report.advice if a.remedy is Remedy.MITRE]
    assert (Remedy.SHAPED in remedies(report)) is (turn > 120) is not bool(folds)
    # Up to 120 degrees a fold is no longer than twice the width: 1 / cos 60.
    assert all(fold.length is not None and fold.length <= 400 for fold in folds)


@pytest.mark.parametrize("allowance", [0.0, 4.0])
@pytest.mark.parametrize("radius", [20.0, 60.0])
def test_the_pointwise_radius_is_that_of_the_finished_circle(
    tmp_path: FilePath, radius: float, allowance: float
) -> None:
    settings = f"""
    [[tapes]]
    name = "main"
    finished_width = "9 mm"
    [[pieces]]
    name = "disc"
    allowances = {{ 1 = "{allowance} mm" }}
    [[runs]]
    name = "rim"
    tape = "main"
    edges = ["disc 1"]
    closed = true
    """
    outline = f'<circle id="disc" cx="300" cy="300" r="{radius}"/>'
    (run,) = runs_of(job_of(tmp_path, outline, settings))

    report = report_of(run.legs[0], run.tape)

    assert report.point_radius == pytest.approx(radius - allowance)


@pytest.mark.parametrize("radius", [30.0, 50.0])
def test_every_feed_of_the_range_lies_within_the_limits(
    tape: Tape, radius: float
) -> None:
    report = report_of(hole(radius), tape)

    lines = (1.0, 1 + 9 / radius)  # edge and stitching line, per mm of edge
    limits = report.limits
    if report.feeds is None:
        assert lines[1] / lines[0] > limits.span
    else:
        low, high = report.feeds
        assert lines[1] / low - 1 == pytest.approx(limits.stretch)
        assert lines[0] / high - 1 == pytest.approx(-limits.ease)


def test_straight_strips_are_told_to_be_cut_on_the_bias_and_do_not_narrow(
    tape: Tape,
) -> None:
    straight = replace(tape, grain=Grain.CROSSWISE)

    report = report_of(hole(100.0), straight)

    assert Remedy.BIAS in remedies(report)
    assert report.limits == straight.cloth.crosswise.limit
    assert report.laid_width is None
    assert report.restoring_cut_width is None


def test_a_bias_tape_is_never_told_to_be_cut_on_the_bias(tape: Tape) -> None:
    assert Remedy.BIAS not in remedies(report_of(hole(30.0), tape))


def test_the_width_that_a_stretched_tape_covers_solves_the_net(tape: Tape) -> None:
    radius = 60.0
    report = report_of(disc(radius), tape)
    assert report.laid_width is not None
    assert report.restoring_cut_width is not None

    # Add up what narrow ribbons of the flat tape cover, until the tape is used up.
    def covered(flat: float) -> float:
        depth, steps = 0.0, 100_000
        for _ in range(steps):
            longer = (1 - depth / radius) / report.feed
            depth += math.sqrt(2 - longer**2) * flat / steps
        return depth

    assert report.laid_width == pytest.approx(covered(9.0), abs=1e-3)
    assert report.laid_width < 9.0
    needed = report.restoring_cut_width / tape.cut_width * 9.0
    assert covered(needed) == pytest.approx(9.0, abs=1e-3)
