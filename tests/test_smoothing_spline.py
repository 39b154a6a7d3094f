"""The smoothing spline: what passes it unchanged, and how much noise."""

import numpy as np
import pytest
from scipy.interpolate import BSpline

from edgefinder.geometry.headings import start_headings
from edgefinder.geometry.point_rows import point_rows
from edgefinder.geometry.segments import Complexes, end_points, points_at, start_points
from edgefinder.geometry.smoothing_spline import (
    curvatures,
    fit_splines,
    spline_segments,
)


def parabola(count: int = 101) -> Complexes:
    x = np.linspace(-100.0, 100.0, count)
    points: Complexes = x + 1j * x * x / 400
    return points


def circle(radius: float, spacing: float = 2.0) -> Complexes:
    count = round(2 * np.pi * radius / spacing)
    points: Complexes = radius * np.exp(2j * np.pi * np.arange(3 * count) / count)
    return points


def test_points_on_a_line_come_out_on_it() -> None:
    points = (100 + 50j) * np.linspace(0, 1, 41).astype(np.complex128)
    rows = point_rows([points])

    splines, u = fit_splines(rows, np.full(41, 30.0))
    segments, _, _, _ = spline_segments(splines, u[:1], u[-1:])

    off = (end_points(segments) * np.conj(100 + 50j)).imag
    assert np.abs(off).max() < 1e-7
    assert np.abs(curvatures(splines, rows.owner, u)).max() < 1e-9


def test_segments_are_the_spline_itself() -> None:
    rows = point_rows([parabola(), circle(40)])
    windows = 25 + 5 * np.sin(rows.along / 20)
    splines, u = fit_splines(rows, windows)
    begins, ends = np.array([0.0, 3.3]), np.array([float(u[100]), 9.75])

    segments, tangents, bounds, starts = spline_segments(splines, begins, ends)

    for j in range(2):
        own = slice(bounds[j], bounds[j + 1])
        for values, table in (
            (splines.coefficients, segments),
            (splines.blurred, tangents),
        ):
            c = values[splines.bounds[j] : splines.bounds[j + 1]]
            truth = BSpline(np.arange(-3, len(c) + 1), c, 3)  # scipy's uniform cubic
            found = start_points(table.take(own))
            assert np.allclose(found, truth(starts[own]), atol=1e-9)
            assert end_points(table.take(own))[-1] == pytest.approx(
                complex(truth(ends[j])), abs=1e-9
            )
    middle = points_at(segments, np.full(len(segments), 0.5))
    assert np.isfinite(middle).all()


def test_a_cut_leaves_no_slivers() -> None:
    rows = point_rows([circle(40)])
    splines, _ = fit_splines(rows, np.full(len(rows.points), 25.0))

    _, _, bounds, starts = spline_segments(
        splines, np.array([3.9999]), np.array([7.0001])
    )

    assert bounds.tolist() == [0, 3]
    assert starts == pytest.approx([4, 5, 6], abs=1e-3)


@pytest.mark.parametrize("radius", [20.0, 60.0, 300.0])
def test_a_circle_keeps_its_radius_and_its_bend(radius: float) -> None:
    points = circle(radius)
    rows = point_rows([points])
    third = len(points) // 3

    splines, u = fit_splines(rows, np.full(len(points), 1.5 * radius))
    segments, _, _, _ = spline_segments(
        splines, u[third : third + 1], u[2 * third : 2 * third + 1]
    )
    bend = curvatures(splines, rows.owner, u)[third : 2 * third]

    # At this window the third difference holds back 1/(1 + (1.5 / 6.63)^-6)^-1.
    assert np.abs(start_points(segments)) == pytest.approx(radius, rel=3e-4)
    assert 1 / bend == pytest.approx(radius, rel=0.02)


@pytest.mark.parametrize("window", [30.0, 50.0])
def test_noise_in_the_curvature_falls_with_the_window(window: float) -> None:
    spacing, noise, count = 2.0, 0.1, 4000
    rng = np.random.default_rng(7)
    points = spacing * np.arange(count) + noise * 1j * rng.normal(size=count)
    rows = point_rows([points])

    splines, u = fit_splines(rows, np.full(count, window))
    bend = curvatures(splines, rows.owner, u)[100:-100]

    # A parabola over the window has 26.8 sigma sqrt(h) / W^2.5; tangents of averaged
    # coefficients are about twice as steady.
    parabola = np.sqrt(720) * noise * np.sqrt(spacing) / window**2.5
    assert 0.35 * parabola < np.std(bend) < 0.65 * parabola


def test_tangents_of_a_circle_are_its_own() -> None:
    points = circle(50)
    third = len(points) // 3
    rows = point_rows([points])
    splines, u = fit_splines(rows, np.full(len(points), 40.0))

    segments, tangents, _, _ = spline_segments(
        splines, u[third : third + 1], u[2 * third : 2 * third + 1]
    )

    across = start_headings(tangents) * np.conj(start_points(segments))
    assert np.angle(across) == pytest.approx(np.pi / 2, abs=1e-4)
