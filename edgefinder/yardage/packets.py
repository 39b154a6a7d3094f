"""Ready-made tape: whole packets of one length."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from edgefinder.errors import SettingsError
from edgefinder.units import MAX_LENGTH_MM
from edgefinder.yardage.buying import in_both_units
from edgefinder.yardage.cutting import MOST_STRIPS, least_count


@dataclass(frozen=True, slots=True)
class Packets:
    """How much ready-made tape to buy.

    Parameters
    ----------
    count : int
        Packets.
    joins : int
        Joins from packet to packet.
    yield_length : float
        Millimetres of tape after the joins.
    needed : float
        Millimetres that the runs take together.
    """

    count: int
    joins: int
    yield_length: float
    needed: float

    @property
    def spare(self) -> float:
        """Tape left over, in millimetres; what rounding takes below 0 is 0."""
        return max(0.0, self.yield_length - self.needed)


@dataclass(frozen=True, slots=True)
class PacketTape:
    """A ready-made tape and the runs that it goes on.

    Parameters
    ----------
    name : str
        Tapes of one name are bought together.
    needs : tuple of float
        Millimetres of tape for every run.
    packet_length : float
        Millimetres of tape in one packet.
    cut_width : float
        Millimetres of the tape laid flat.
    """

    name: str
    needs: tuple[float, ...]
    packet_length: float
    cut_width: float


@dataclass(frozen=True, slots=True)
class TapePackets:
    """The packets of one tape."""

    name: str
    packet_length: float
    packets: Packets


def packets_of_tapes(tapes: Sequence[PacketTape]) -> tuple[TapePackets, ...]:
    """Count the packets of several tapes at once.

    Parameters
    ----------
    tapes : sequence of PacketTape
        Where a name comes again, its runs share the packets.

    Returns
    -------
    tuple of TapePackets
        One for each name, in the order in which the names first come.

    Raises
    ------
    SettingsError
        With one line for every mistake in any of the tapes.

    Examples
    --------
    >>> front = PacketTape("red", (2000.0,), 2743.2, 38.1)
    >>> back = PacketTape("red", (700.0,), 2743.2, 38.1)
    >>> [(row.name, row.packets.count) for row in packets_of_tapes([front, back])]
    [('red', 1)]
    """
    shared: dict[str, list[PacketTape]] = {}
    for tape in tapes:
        shared.setdefault(tape.name, []).append(tape)
    found: list[TapePackets] = []
    mistakes: list[str] = []
    for name, same in shared.items():
        first = same[0]
        if any(
            (tape.packet_length, tape.cut_width)
            != (first.packet_length, first.cut_width)
            for tape in same
        ):
            mistakes.append(
                f'tape "{name}": its packets are of two lengths or widths; '
                "give every kind of packet a name of its own"
            )
            continue
        needs = [length for tape in same for length in tape.needs]
        try:
            counted = packets(needs, first.packet_length, first.cut_width)
        except SettingsError as error:
            mistakes += [f'tape "{name}": {line}' for line in error.messages]
        else:
            found.append(TapePackets(name, first.packet_length, counted))
    if mistakes:
        raise SettingsError(*mistakes)
    return tuple(found)


def packets(needs: Sequence[float], packet_length: float, cut_width: float) -> Packets:
    """Count the packets that hold all runs.

    Parameters
    ----------
    needs : sequence of float
        Millimetres of tape for every run.
    packet_length : float
        Millimetres of tape in one packet.
    cut_width : float
        Millimetres of the tape laid flat: what a diagonal join of two square ends
        takes. 0 leaves the joins out of the count.

    Returns
    -------
    Packets

    Raises
    ------
    SettingsError
        If a length is not above 0, or a packet is no longer than a join.

    Notes
    -----
    The packets are taken for one long tape, joined on the diagonal, from which run
    after run is cut: k packets give k P - (k - 1) c. Where a packet happens to
    end between two runs its join is saved, so that this is on the safe side.

    Examples
    --------
    >>> packets([2000.0, 1500.0], 2743.2, 38.1).count
    2
    """
    _check(needs, packet_length, cut_width)
    needed = math.fsum(needs)
    if not needed:
        return Packets(count=0, joins=0, yield_length=0.0, needed=0.0)
    if needed > MOST_STRIPS * (packet_length - cut_width):
        raise SettingsError(
            f"{in_both_units(needed)} of tape would take more than {MOST_STRIPS} "
            f"packets of {in_both_units(packet_length)}; give the length of one packet "
            "with its unit"
        )
    count = max(1, least_count((needed - cut_width) / (packet_length - cut_width)))
    yielded = count * packet_length - (count - 1) * cut_width
    return Packets(count, count - 1, yielded, needed)


def _check(needs: Sequence[float], packet_length: float, cut_width: float) -> None:
    mistakes = [
        f"run {number} needs {length:g} mm of tape; "
        f"give a length above 0 and up to {MAX_LENGTH_MM:g} mm"
        for number, length in enumerate(needs, start=1)
        if not 0.0 < length <= MAX_LENGTH_MM
    ]
    if not 0.0 <= cut_width < math.inf:
        mistakes.append(
            f"the cut width is {cut_width:g} mm; give the width of the tape laid flat"
        )
    elif not cut_width < packet_length < math.inf:
        mistakes.append(
            f"a packet of {packet_length:g} mm is no longer than a join, "
            f"{cut_width:g} mm; give the length of tape in one packet"
        )
    if mistakes:
        raise SettingsError(*mistakes)
