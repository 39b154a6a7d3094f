import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from edgefinder.errors import SettingsError
from edgefinder.yardage.packets import PacketTape, packets, packets_of_tapes

THREE_YARDS = 2743.2
CUT = 38.1


def test_runs_that_fit_one_packet_take_no_join() -> None:
    bought = packets([1000.0, 1743.2], THREE_YARDS, CUT)

    assert (bought.count, bought.joins) == (1, 0)
    assert bought.spare == pytest.approx(0.0, abs=1e-9)


def test_two_full_packets_lose_one_cut_width_where_they_meet() -> None:
    bought = packets([2.0 * THREE_YARDS - CUT], THREE_YARDS, CUT)

    assert (bought.count, bought.joins) == (2, 1)
    assert bought.yield_length == pytest.approx(2.0 * THREE_YARDS - CUT)
    assert bought.spare == pytest.approx(0.0, abs=1e-9)


def test_a_join_can_cost_another_packet() -> None:
    needed = 2.0 * THREE_YARDS - CUT + 0.1

    assert packets([needed], THREE_YARDS, CUT).count == 3
    assert packets([needed], THREE_YARDS, 0.0).count == 2


def test_no_runs_take_no_packets() -> None:
    bought = packets([], THREE_YARDS, CUT)

    assert (bought.count, bought.joins, bought.spare) == (0, 0, 0.0)


@given(
    needs=st.lists(st.floats(1.0, 5000.0), min_size=1, max_size=8),
    packet=st.floats(500.0, 30000.0),
    cut=st.floats(0.0, 120.0),
)
def test_the_packets_are_enough_and_one_less_is_not(
    needs: list[float], packet: float, cut: float
) -> None:
    bought = packets(needs, packet, cut)
    total = math.fsum(needs)

    assert bought.yield_length >= total * (1.0 - 1e-8)
    assert bought.spare >= 0.0
    fewer = bought.count - 1
    assert fewer == 0 or fewer * packet - (fewer - 1) * cut < total


@pytest.mark.parametrize("length", [0.0, -5.0, math.nan, math.inf, 1e300])
def test_a_run_without_a_length_is_named(length: float) -> None:
    with pytest.raises(SettingsError, match=r"run 2 needs .* give a length above 0"):
        packets([100.0, length], THREE_YARDS, CUT)


@pytest.mark.parametrize("packet", [0.0, CUT, -1.0, math.nan, math.inf])
def test_a_packet_no_longer_than_a_join_is_refused(packet: float) -> None:
    with pytest.raises(SettingsError, match="no longer than a join"):
        packets([100.0], packet, CUT)


@pytest.mark.parametrize("cut", [-1.0, math.nan, math.inf])
def test_a_cut_width_that_cannot_be_is_refused(cut: float) -> None:
    with pytest.raises(SettingsError, match="the cut width is"):
        packets([100.0], THREE_YARDS, cut)


def test_all_mistakes_are_told_at_once() -> None:
    with pytest.raises(SettingsError) as caught:
        packets([-1.0, 0.0], 0.0, CUT)

    assert len(caught.value.messages) == 3


def test_a_packet_given_in_the_wrong_unit_ends_quickly() -> None:
    with pytest.raises(SettingsError, match="with its unit"):
        packets([1e7], 3.0, 0.0)


def test_tapes_of_one_name_share_their_packets() -> None:
    rows = packets_of_tapes(
        [
            PacketTape("red", (1000.0,), THREE_YARDS, CUT),
            PacketTape("blue", (3000.0,), THREE_YARDS, CUT),
            PacketTape("red", (1500.0,), THREE_YARDS, CUT),
        ]
    )

    assert [(row.name, row.packets.count) for row in rows] == [("red", 1), ("blue", 2)]
    assert rows[0].packets == packets([1000.0, 1500.0], THREE_YARDS, CUT)


def test_one_name_for_two_kinds_of_packet_is_refused() -> None:
    tapes = [
        PacketTape("red", (1000.0,), THREE_YARDS, CUT),
        PacketTape("red", (1000.0,), 5000.0, CUT),
    ]

    with pytest.raises(SettingsError, match=r'tape "red": .* a name of its own'):
        packets_of_tapes(tapes)


def test_mistakes_of_all_tapes_are_told_with_their_names() -> None:
    tapes = [
        PacketTape("red", (-1.0,), THREE_YARDS, CUT),
        PacketTape("blue", (100.0,), 0.0, CUT),
        PacketTape("green", (100.0,), THREE_YARDS, CUT),
    ]

    with pytest.raises(SettingsError) as caught:
        packets_of_tapes(tapes)

    first, second = caught.value.messages
    assert first.startswith('tape "red": run 1 needs -1 mm')
    assert second.startswith('tape "blue": a packet of 0 mm')
