"""Schedules recomputed from the drawings with other libraries."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path as FilePath
from typing import Final
from xml.etree import ElementTree

import mpmath
import numpy as np
import pytest
import svgpathtools
from numpy.typing import NDArray
from tape_cases import DEMO, DEMO_NAMES, demo_job, release_of

from edgefinder.errors import EdgefinderError, SettingsError
from edgefinder.reports.release_records import sizes_records
from edgefinder.schedule.release import (
    Release,
    make_release,
    only_sizes,
    release_from_file,
)
from edgefinder.schedule.size_rows import RunRow

SVG: Final = "{http://www.w3.org/2000/svg}"
LABEL: Final = "{urn:edgefinder:label}label"
AGREE_MM: Final = 1e-5

SQUARE: Final = '<path id="patch" d="M 100 100 h 200 v 200 h -200 z"/>'
TAPE: Final = '[[tapes]]\nname = "main"\nfinished_width = "9 mm"\n'
RUN: Final = '[[runs]]\nname = "hem"\ntape = "main"\nedges = ["patch 1"]\n'


def figures(record: object, where: str = "") -> Iterator[tuple[str, object]]:
    """List every value of a record by its place in it."""
    if isinstance(record, dict):
        for key, value in record.items():
            yield from figures(value, f"{where}.{key}")
    elif isinstance(record, list):
        for i, value in enumerate(record):
            yield from figures(value, f"{where}[{i}]")
    else:
        yield where, record


# Where on the sheet a piece lies, and which of two equally sharp points is named,
# is up to the file.
UP_TO_THE_FILE: Final = ("start_mm", "end_mm", "point_mm", "_at_mm")


def figures_of(name: str, kind: str) -> dict[str, object]:
    sizes = sizes_records(make_release(demo_job(name, kind)))
    for size in sizes:
        pieces = size["pieces"]
        assert isinstance(pieces, list)
        pieces.sort(key=lambda piece: str(piece["name"]))
    return {
        where: value
        for where, value in figures(sizes)
        if not any(key in where for key in UP_TO_THE_FILE)
    }


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_the_svg_and_the_dxf_of_a_pattern_give_the_same_schedule(name: str) -> None:
    svg, dxf = figures_of(name, "svg"), figures_of(name, "dxf")

    assert svg.keys() == dxf.keys()
    for where, value in svg.items():
        if isinstance(value, float):
            # On an arc the sharpest point is somewhere near its middle.
            is_place = where.endswith((".at_mm", ".point_radius_mm"))
            slack = 1.0 if is_place else AGREE_MM
            slack = 1e-4 if "area_mm2" in where else slack
            assert dxf[where] == pytest.approx(value, abs=slack), where
        else:
            assert dxf[where] == value, where
    assert len([where for where in svg if "_mm" in where]) > 1000


# --- the smock, drawn line by line ---


def smock_curves(size: str, piece: str) -> list[svgpathtools.CubicBezier]:
    """The cubics of a cut line: hem, hem, then two for the armhole and the neck."""
    root = ElementTree.fromstring(  # noqa: S314 - a file of our own
        (DEMO / "puddle-smock.svg").read_text(encoding="utf-8")
    )
    (group,) = (g for g in root.iter(f"{SVG}g") if g.get("id") == f"{size}-{piece}")
    (cut,) = (p for p in group if p.get("class") == "cut")
    path = svgpathtools.parse_path(cut.attrib["d"])
    return [s for s in path if isinstance(s, svgpathtools.CubicBezier)]


def smock_edges(size: str) -> dict[str, list[complex]]:
    """The neck and the armholes between the sewing lines, as control points.

    The shoulder line is 10 mm of straight edge longer at both ends than what is
    sewn, so that the bound edge is made of whole cubics (and, at the back of the
    neck, the line before them).
    """
    front, back = smock_curves(size, "front"), smock_curves(size, "back")
    straight = {"2": 40.8376881, "4": 42.4613062, "6": 44.0849243, "8": 46.5203514}
    assert {len(front), len(back)} == {6}
    return {
        "front armhole": [*front[2].bpoints(), *front[3].bpoints()],
        "front neck": [*front[4].bpoints(), *front[5].bpoints()],
        "back neck": [*back[2].bpoints(), *back[3].bpoints(), straight[size]],
        "back armhole": [*back[4].bpoints(), *back[5].bpoints()],
    }


def sampled(
    control: Sequence[complex],
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Arc length and heading along two cubics, densely."""
    t = np.linspace(0, 1, 20_001)
    s, heading, at = [], [], 0.0
    for p in (control[:4], control[4:8]):
        a, b, c = 3 * np.diff(np.array(p))
        d = a * (1 - t) ** 2 + 2 * b * t * (1 - t) + c * t**2
        speed = np.abs(d)
        step = np.diff(t) * (speed[1:] + speed[:-1]) / 2
        s.append(at + np.concatenate([[0.0], np.cumsum(step)]))
        heading.append(np.angle(d))
        at = float(s[-1][-1])
    return np.concatenate(s), np.unwrap(np.concatenate(heading))


def fed(s: NDArray[np.float64], heading: NDArray[np.float64], width: float) -> float:
    """Tape fed along an inside curve of lawn: 10 / 3 per cent, at most 20 / 6."""
    length = float(s[-1])
    middles = (np.arange(100_000) + 0.5) * length / 100_000
    low = np.clip(middles - width / 2, 0.0, length - width)
    turned = np.interp(low + width, s, heading) - np.interp(low, s, heading)
    bend = 1 + np.abs(turned)  # (1 + |k| w)
    is_flat = bend <= 1.10 / 0.97
    needed = np.where(is_flat, bend / 1.10, bend / 1.20)
    return float(np.maximum(1.0, needed).mean() * length)


def rows_of(release: Release, size: str) -> dict[str, RunRow]:
    (found,) = (s for s in release.sizes if s.size == size)
    return {row.run.name: row for row in found.runs}


@pytest.fixture(scope="module")
def smock() -> Release:
    return make_release(demo_job("puddle-smock"))


@pytest.mark.parametrize("size", ["2", "4", "6", "8"])
def test_the_neck_of_the_smock_is_as_long_as_its_curves_are(
    smock: Release, size: str
) -> None:
    edges = smock_edges(size)
    front, back = (
        math.fsum(
            svgpathtools.CubicBezier(*part).length(error=1e-10)
            for part in (edges[name][:4], edges[name][4:8])
        )
        for name in ("front neck", "back neck")
    )
    straight = edges["back neck"][8].real

    neck = rows_of(smock, size)["neck"].tape_length

    assert neck.edge == pytest.approx(2 * (front + back + straight), abs=1e-5)
    assert neck.ties == 600.0
    assert neck.ends == 20.0
    assert (neck.join, neck.tails, neck.mitres) == (0.0, 0.0, 0.0)


@pytest.mark.parametrize("size", ["2", "8"])
def test_the_neck_of_the_smock_is_fed_as_dense_sampling_says(
    smock: Release, size: str
) -> None:
    edges = smock_edges(size)
    s, heading = sampled(edges["back neck"])
    straight = edges["back neck"][8].real
    back = np.concatenate([[0.0], s + straight])
    bent = np.concatenate([[heading[0]], heading]) - heading[0]
    # Square to the shoulder on both pieces, it goes on into the front without a
    # corner, turning the same way; and square to the fold, into its mirror image.
    s, heading = sampled(edges["front neck"])
    half = np.concatenate([back, back[-1] + s])
    half_bent = np.concatenate([bent, bent[-1] - (heading - heading[0])])
    whole = np.concatenate([half, half[-1] + (half[-1] - half[::-1])])
    whole_bent = np.concatenate([half_bent, 2 * half_bent[-1] - half_bent[::-1]])
    expected = fed(whole, whole_bent, 6.0)

    neck = rows_of(smock, size)["neck"].tape_length

    assert neck.feed > 0.5
    assert neck.edge + neck.feed == pytest.approx(expected, abs=0.01)


@pytest.mark.parametrize("size", ["4", "6"])
def test_the_armholes_of_the_smock_are_as_long_as_their_integrals(
    smock: Release, size: str
) -> None:
    def exact(p: Sequence[complex]) -> mpmath.mpf:
        a, b, c = (3 * (q - r) for q, r in zip(p[1:], p[:-1], strict=True))

        def speed(t: mpmath.mpf) -> mpmath.mpf:
            return abs(a * (1 - t) ** 2 + 2 * b * t * (1 - t) + c * t**2)

        return mpmath.quad(speed, [0, 0.25, 0.5, 0.75, 1])

    edges = smock_edges(size)
    whole = sum(
        exact(part)
        for name in ("front armhole", "back armhole")
        for part in (edges[name][:4], edges[name][4:8])
    )

    row = rows_of(smock, size)["armholes"]

    assert row.tape_length.edge == pytest.approx(float(whole), abs=1e-5)
    assert row.tape_length.join == 24.0  # square ends: the cut width, 4 x 6 mm
    assert row.tape_length.tails == 150.0
    assert row.tape_to_cut == 2 * row.tape_length.total  # left and right


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_every_total_is_the_sum_of_what_went_into_it(name: str) -> None:
    for size in make_release(demo_job(name)).sizes:
        for tape in size.tapes:
            rows = [row for row in size.runs if row.run.tape is tape.tape]
            passes = [
                row.tape_length.total
                for row in rows
                for _ in range(row.run.settings.times)
            ]
            assert tape.total == pytest.approx(math.fsum(passes), rel=1e-12)
            assert tape.plan.need.length == tape.total
            assert tape.plan.need.cut_width == tape.tape.cut_width
            limited = [row.widest for row in rows if row.widest is not None]
            assert tape.widest == min(limited, default=None)


def test_usual_widths_follow_the_unit_that_is_printed() -> None:
    apron = make_release(demo_job("orchard-apron")).sizes[0].tapes[0]
    smock = make_release(demo_job("puddle-smock")).sizes[0].tapes[0]

    assert [w.width for w in apron.widths] == [6.35, 9.525, 12.7, 22.225]
    assert [w.width for w in smock.widths] == [6, 8, 9, 10, 12, 15, 20]


def test_some_sizes_can_be_kept(smock: Release) -> None:
    kept = only_sizes(smock, ["6", "2"])

    assert [size.size for size in kept.sizes] == ["2", "6"]
    assert only_sizes(smock, []).sizes == smock.sizes
    assert kept.cautions == smock.cautions


def test_every_size_that_is_not_there_is_named(smock: Release) -> None:
    with pytest.raises(SettingsError) as told:
        only_sizes(smock, ["2", "10", "XL"])

    assert len(told.value.messages) == 2
    assert '--size: there is no size "10"' in told.value.messages[0]
    assert '--size: there is no size "XL"' in told.value.messages[1]


def test_ready_made_tape_is_counted_in_packets(tmp_path: FilePath) -> None:
    packet = TAPE + 'packet_length = "50 cm"\n'

    release = release_of(tmp_path, SQUARE, packet + RUN + "times = 3\n")

    (tape,) = release.sizes[0].tapes
    assert tape.total == pytest.approx(3 * 220)
    assert tape.packets is not None
    assert tape.packets.count == 2  # 1000 - 36 mm of one join
    assert make_release(demo_job("puddle-smock")).sizes[0].tapes[0].packets is None


@pytest.mark.parametrize(
    ("settings", "told"),
    [
        (TAPE + 'packet_length = "3 cm"\n' + RUN, "packet of 30 mm is no longer"),
        (
            TAPE.replace("9 mm", "0.2 mm") + RUN,
            "the cut width is 0.8 mm; give one from 1 mm",
        ),
    ],
)
def test_a_tape_that_cannot_be_cut_is_told_with_its_name_and_the_job_file(
    tmp_path: FilePath, settings: str, told: str
) -> None:
    with pytest.raises(EdgefinderError) as error:
        release_of(tmp_path, SQUARE, settings)

    (message,) = error.value.messages
    assert message.startswith(f'{tmp_path / "pattern.toml"}: tapes "main": ')
    assert told in message


def test_a_corner_of_more_than_120_degrees_is_warned_of(tmp_path: FilePath) -> None:
    pennant = '<path id="patch" d="M 100 100 L 400 180 L 100 260 Z"/>'
    run = RUN.replace('["patch 1"]', '["patch 1", "patch 2"]')

    release = release_of(tmp_path, pennant, TAPE + run)

    (finding,) = (f for f in release.findings if f.code == "sharp-corner")
    assert finding.where.startswith('run "hem"')
    # The tip is 2 atan(80/300) = 30 degrees wide.
    assert "after patch 1 turns 150 degrees" in finding.message


def test_the_demo_has_no_corner_that_sharp(smock: Release) -> None:
    assert smock.findings == ()


def test_the_same_job_gives_the_same_release_twice() -> None:
    job = demo_job("orchard-apron")

    first, second = (sizes_records(make_release(job)) for _ in range(2))

    assert first == second
    other = replace(job, name="Other name")
    assert sizes_records(make_release(other)) == first


def test_mistakes_of_the_job_file_and_against_the_drawing_come_together(
    tmp_path: FilePath,
) -> None:
    path = tmp_path / "apron.toml"
    text = (DEMO / "orchard-apron.toml").read_text(encoding="utf-8")
    text = text.replace('"orchard-apron.svg"', f'"{DEMO / "orchard-apron.svg"}"')
    text = text.replace("usable_width", "usabel_width").replace("back 4", "back 9")
    path.write_text(text.replace('name = "main"', 'name = "mian"'), encoding="utf-8")

    with pytest.raises(SettingsError) as caught:
        release_from_file(path)

    told = "\n".join(caught.value.messages)
    assert 'did you mean "usable_width"' in told
    assert '"back" has no edge 9' in told
    assert 'there is no tape "main"; did you mean "mian"?' in told
