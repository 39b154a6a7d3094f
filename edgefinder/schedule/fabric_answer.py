"""The answer to what is typed for a length of tape."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from edgefinder.classifier.job import Grain
from edgefinder.schedule.fabric_need import widths_of
from edgefinder.schedule.fabric_query import FabricQuery, SizedTape
from edgefinder.yardage.buying_table import WidthRows, buying_table
from edgefinder.yardage.cutting import NotPossible
from edgefinder.yardage.from_rectangle import FromRectangle, from_rectangle
from edgefinder.yardage.methods import CuttingPlan, cut_everything
from edgefinder.yardage.one_cut import SizeCuts, WantedTape, cut_sizes, one_cut
from edgefinder.yardage.packets import PacketTape, TapePackets, packets_of_tapes
from edgefinder.yardage.scraps import ScrapCover, least_scraps
from edgefinder.yardage.strip_rows import OneCut


@dataclass(frozen=True, slots=True)
class TapesCut:
    """Several tapes, all cut on one grain.

    Parameters
    ----------
    grain : Grain
    sizes : SizeCuts
        Every size on its own; a single one without a name where none is given.
    together : OneCut or NotPossible or None
        All sizes in one cut; None where there is one.
    """

    grain: Grain
    sizes: SizeCuts
    together: OneCut | NotPossible | None


@dataclass(frozen=True, slots=True)
class FabricAnswer:
    """What was asked, and what comes out.

    Parameters
    ----------
    query : FabricQuery
    plan : CuttingPlan or None
        Every way to cut a single tape off the bolt.
    widths : tuple of WidthRows
        The same of cloth of other widths.
    packets : tuple of TapePackets
        Of ready-made tape.
    rectangle : FromRectangle or None
    scraps : ScrapCover or None
    tapes : tuple of TapesCut
        Several tapes, on every grain that is asked for.
    """

    query: FabricQuery
    plan: CuttingPlan | None = None
    widths: tuple[WidthRows, ...] = ()
    packets: tuple[TapePackets, ...] = ()
    rectangle: FromRectangle | None = None
    scraps: ScrapCover | None = None
    tapes: tuple[TapesCut, ...] = ()


def answer(query: FabricQuery) -> FabricAnswer:
    """Work out what is asked.

    Raises
    ------
    SettingsError
        If a width of cloth leaves nothing, or packets cannot be counted.
    """
    found = FabricAnswer(query, packets=_packets(query))
    if query.need is None:
        grains = (query.grain,) if query.grain else tuple(Grain)
        tapes = tuple(_tapes_cut(query.tapes, grain) for grain in grains)
        return replace(found, tapes=tapes)
    if query.fabric.rectangle is not None:
        piece = from_rectangle(query.need, *query.fabric.rectangle)
        return replace(found, rectangle=piece)
    if query.scraps:
        may_turn = not query.need.one_way
        cover = least_scraps(query.scraps, query.need, may_turn=may_turn)
        return replace(found, scraps=cover)
    return replace(
        found,
        plan=cut_everything(query.need),
        widths=buying_table(query.need, widths_of(query.fabric)),
    )


def _tapes_cut(tapes: Sequence[SizedTape], grain: Grain) -> TapesCut:
    by_size: dict[str, list[WantedTape]] = {}
    for one in tapes:
        by_size.setdefault(one.size, []).append(one.tape)
    together = None
    if len(by_size) > 1:
        named = [
            replace(one.tape, name=f"{one.size}: {one.tape.name}") for one in tapes
        ]
        together = one_cut(named, grain)
    return TapesCut(grain, cut_sizes(list(by_size.items()), grain), together)


def _packets(query: FabricQuery) -> tuple[TapePackets, ...]:
    if query.packet_length is None:
        return ()
    tapes = [(one.tape.name, one.tape.need) for one in query.tapes]
    if query.need is not None:
        tapes.append(("tape", query.need))
    return packets_of_tapes(
        [
            PacketTape(name, (need.length,), query.packet_length, need.cut_width)
            for name, need in tapes
        ]
    )
