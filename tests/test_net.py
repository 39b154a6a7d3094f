"""The net behind the band: threads that do not stretch, laid along an arc.

In a plane such a net is a sum r(u, v) = A(u) + B(v) of two curves of unit speed. Here
both turn at one rate. The points are found by adding up the headings of the threads
numerically (Gauss-Legendre), so that nothing of the band is used to find them; the net
is then measured like a laid strip and the band's closed forms are held against it.
"""

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from numpy.typing import NDArray

from edgefinder.curvature.band import flat_width, laid_width

ACCURACY: Final = 1e-8
STEP_MM: Final = 0.05
"""Of the differences that the net is measured with: their error is below 1e-11."""
NODES, WEIGHTS = np.polynomial.legendre.leggauss(24)

Complexes = NDArray[np.complex128]
Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Net:
    """A net along an edge of curvature k, fabric on the left, fed at ``feed``.

    Its fold line lies on the edge: there it is stretched 1/feed = sqrt 2 cos(q/2), with
    q the angle between the threads, and it turns by k for every millimetre of edge.
    """

    k: float
    feed: float

    def threads(self, along: Floats, heading: float) -> Complexes:
        """Points of a thread, by adding up its headings from its middle."""
        rate = math.sqrt(2) * self.k / self.feed
        half = along[..., np.newaxis] / 2
        s = half * (1 + NODES)
        points: Complexes = (WEIGHTS * half * np.exp(1j * (heading + rate * s))).sum(-1)
        return points

    def points(self, x: Floats, y: Floats) -> Complexes:
        """Where the material point x along the tape, y across it, comes to lie."""
        q = 2 * math.acos(1 / (self.feed * math.sqrt(2)))
        u, v = (x - y) / math.sqrt(2), (x + y) / math.sqrt(2)
        return self.threads(u, -q / 2) + self.threads(v, q / 2)

    def slopes(self, y: Floats) -> tuple[Complexes, Complexes]:
        """Derivatives along and across the tape at x = 0, by differences."""
        found = []
        for dx, dy in ((STEP_MM, 0.0), (0.0, STEP_MM)):
            far, near = (
                self.points(n * dx + 0 * y, y + n * dy)
                - self.points(-n * dx + 0 * y, y - n * dy)
                for n in (2, 1)
            )
            found.append((8 * near - far) / (12 * STEP_MM))
        return found[0], found[1]

    def depths(self, y: Floats) -> Floats:
        """How far from the edge material points at x = 0 come to lie."""
        edge, inner = self.points(0 * y, 0 * y), self.points(0 * y, y)
        found: Floats = (inner - edge).imag  # the edge runs to the right there
        return found


def circle_through(points: Complexes) -> tuple[complex, float]:
    """Centre and radius of the circle through three points."""
    a, b, c = (complex(p) for p in points)
    w = (c - a) / (b - a)
    centre = a + (b - a) * (w - abs(w) ** 2) / (2j * w.imag)
    return centre, abs(a - centre)


nets = st.builds(
    Net,
    st.builds(
        lambda radius, side: side / radius,
        st.floats(25.0, 2000.0),
        st.sampled_from([-1.0, 1.0]),
    ),
    st.floats(0.85, 1.15),
)
widths = st.floats(3.0, 12.0)


def lines_of(net: Net, width: float) -> Floats:
    """Material depths from the edge to where the laid depth is ``width``."""
    flat = flat_width(net.k, width, net.feed)
    longest = max(1.0, 1 - net.k * width) / net.feed
    assume(flat is not None and longest < 1.35)
    assert flat is not None
    return np.linspace(0.0, flat, 7)


@given(nets, widths)
def test_every_line_of_the_net_is_stretched_as_the_band_says(
    net: Net, width: float
) -> None:
    y = lines_of(net, width)

    along, _ = net.slopes(y)

    strained = (1 - net.k * net.depths(y)) / net.feed
    assert np.abs(along) == pytest.approx(strained, abs=ACCURACY)


@given(nets, widths)
def test_what_the_net_gains_along_the_tape_it_loses_across(
    net: Net, width: float
) -> None:
    y = lines_of(net, width)

    along, across = (np.abs(part) for part in net.slopes(y))

    # The width loss n = 1 - m of the trellis: (1 + e)^2 + (1 - n)^2 = 2.
    assert across == pytest.approx(np.sqrt(2 - along**2), abs=ACCURACY)
    expected = np.sqrt(2 - ((1 - net.k * net.depths(y)) / net.feed) ** 2)
    assert across == pytest.approx(expected, abs=ACCURACY)


@given(nets, widths)
def test_the_flat_width_of_the_net_is_that_of_the_closed_form_and_back(
    net: Net, width: float
) -> None:
    flat = lines_of(net, width)[-1]

    (laid,) = net.depths(np.array([flat]))

    assert laid == pytest.approx(width, abs=ACCURACY)
    assert laid_width(net.k, float(flat), net.feed) == pytest.approx(
        width, abs=ACCURACY
    )


@given(nets, widths)
def test_the_angle_between_the_threads_changes_evenly_with_the_material_depth(
    net: Net, width: float
) -> None:
    y = lines_of(net, width)

    along, across = net.slopes(y)

    angle = 2 * np.arctan2(np.abs(across), np.abs(along))
    rate = 2 * net.k / net.feed
    assert angle == pytest.approx(angle[0] + rate * y, abs=ACCURACY)


@pytest.mark.parametrize("k", [1 / 60, -1 / 60, 1 / 30, -1 / 30])
@pytest.mark.parametrize("feed", [0.9, 1.0, 1.1])
def test_the_lines_of_the_net_are_arcs_about_one_centre(k: float, feed: float) -> None:
    net = Net(k, feed)
    x = np.array([-9.0, 1.0, 8.0])

    circles = [
        circle_through(net.points(x, np.full(3, y))) for y in np.linspace(0, 9, 5)
    ]

    for y, (centre, radius) in zip(np.linspace(0, 9, 5), circles, strict=True):
        (depth,) = net.depths(np.array([y]))
        assert centre == pytest.approx(1j / k, abs=1e-6)
        assert radius == pytest.approx(abs(1 / k - depth), abs=1e-6)


def test_the_threads_keep_their_length() -> None:
    net = Net(-1 / 40, 1.05)
    steps = np.linspace(-10.0, 10.0, 2001)

    for heading in (-0.7, 0.7):
        chords = np.abs(np.diff(net.threads(steps, heading)))
        # A chord of 0.01 mm on an arc of 28 mm is short by 5e-9 of itself.
        assert chords.sum() == pytest.approx(20.0, rel=1e-8)


@given(st.floats(0.05, 0.95))
def test_threads_jam_at_the_arc_cosine_of_their_width_over_their_spacing(
    share: float,
) -> None:
    """Parallel threads touch when they lie one thread width apart (derived)."""
    spacing = 1.0  # along the threads of the other set
    shear = math.acos(share)
    along = complex(1.0)
    other = complex(np.exp(1j * (math.pi / 2 - shear)))

    # The nearest points of two neighbours, one crossing further on the other set.
    s = np.linspace(-3.0, 3.0, 60_001)
    apart = np.abs(spacing * other - s * along).min()

    assert apart == pytest.approx(share * spacing, abs=1e-6)
