"""What is typed for a length of tape: the words of a job file, as options.

Every mistake is kept, so that all of them are reported together.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from edgefinder.binding.cut_width import cut_width
from edgefinder.classifier.fabric_settings import fabric_settings
from edgefinder.classifier.fields import Fields
from edgefinder.classifier.job import FabricSettings, Grain, TapeFold
from edgefinder.errors import SettingsError
from edgefinder.findings import Finding
from edgefinder.schedule.fabric_need import fabric_need
from edgefinder.schedule.scraps_there import ScrapsThere, scraps_there
from edgefinder.units import Unit, parse_length
from edgefinder.yardage.cutting import Need
from edgefinder.yardage.from_rectangle import promised_length
from edgefinder.yardage.one_cut import WantedTape
from edgefinder.yardage.scraps import Scrap
from edgefinder.yardage.tape_run import TapeRun

FABRIC_KEYS: Final = (
    "usable_width",
    "cloth_width",
    "strip_seam",
    "buy_step",
    "shortest_strip",
    "selvage",
    "shrinkage_lengthwise_percent",
    "shrinkage_crosswise_percent",
    "squaring_up",
    "contingency_percent",
    "one_way",
    "same_slant",
    "widths",
    "price",
    "from",
    "scrap",
    "scraps",
    "scrap_grain",
)
"""Those of ``[fabric]`` in a job file."""

BOUGHT_KEYS: Final = (
    "usable_width",
    "cloth_width",
    "buy_step",
    "selvage",
    "shrinkage_lengthwise_percent",
    "shrinkage_crosswise_percent",
    "squaring_up",
    "contingency_percent",
    "price",
)
"""Those that concern cloth off the bolt only."""

_SIZE: Final = re.compile(r"(?:(?P<size>[^:]+):)?(?P<name>[^:]+)")
_INCHES: Final = re.compile(
    r"[\"'\u2033\u201d]|(?<![a-z])(in|inch|inches|ft|feet|foot|yds?|yards?)\b"
)


@dataclass(frozen=True, slots=True)
class SizedTape:
    """A tape of a size; the size is empty where there is only one."""

    size: str
    tape: WantedTape


@dataclass(frozen=True, slots=True)
class FabricQuery:
    """What somebody wants to know about cloth for tape.

    Parameters
    ----------
    fabric : FabricSettings
    unit : Unit
        That figures are printed in.
    grain : Grain or None
    need : Need or None
        A single tape; None where several are asked for.
    is_promise : bool
        Whether no length was given: the need is then what the square-root rule promises
        of the rectangle.
    tapes : tuple of SizedTape
    scraps : tuple of Scrap
    packet_length : float or None
        Millimetres.
    findings : tuple of Finding
        About the drawing of the scraps.
    """

    fabric: FabricSettings
    unit: Unit
    grain: Grain | None
    need: Need | None
    is_promise: bool
    tapes: tuple[SizedTape, ...]
    scraps: tuple[Scrap, ...]
    packet_length: float | None
    findings: tuple[Finding, ...]


class OptionFields(Fields):
    """Options as if they were the keys of a table; messages name the options."""

    def mistake(self, key: str, message: str) -> None:
        """Keep a mistake in the value of an option."""
        option = "--" + key.removesuffix("_percent").replace("_", "-")
        said = message.replace("cloth_width", "--cloth-width")
        said = said.replace("give scraps, a drawing", "give --scraps FILE")
        super().mistake(option, said)


def read_query(typed: Mapping[str, object]) -> FabricQuery:
    """Read what is typed.

    Parameters
    ----------
    typed : mapping of str to object
        Texts by the names of the options, with ``_`` for ``-``; what is not there was
        not typed. ``tape`` is a list of (name, length, cut width).

    Returns
    -------
    FabricQuery

    Raises
    ------
    SettingsError
        With one line for every mistake.
    """
    mistakes: list[str] = []
    about_cloth = {key: typed[key] for key in FABRIC_KEYS if key in typed}
    unit = _unit(typed)
    fabric = fabric_settings(OptionFields(about_cloth, "", mistakes), unit)
    rest = {key: value for key, value in typed.items() if key not in FABRIC_KEYS}
    fields = OptionFields(rest, "", mistakes)
    grain = Grain(str(typed["grain"])) if "grain" in typed else None
    there = _scraps(fields, fabric, mistakes)
    tapes = _tapes(typed, fabric, grain, mistakes)
    need, is_promise = _need(fields, fabric, grain, has_piece="from" in typed)
    packet = fields.length("packet_length", None, positive=True)
    _check_together(typed, mistakes)
    if mistakes:
        raise SettingsError(*dict.fromkeys(mistakes))
    return FabricQuery(
        fabric=fabric,
        unit=unit,
        grain=grain,
        need=need,
        is_promise=is_promise,
        tapes=tapes,
        scraps=there.scraps,
        packet_length=packet,
        findings=there.findings,
    )


def _unit(typed: Mapping[str, object]) -> Unit:
    """Return the unit that is asked for, else the one that is typed."""
    if "unit" in typed:
        return Unit(str(typed["unit"]))
    tapes = typed.get("tape")
    first = tapes[0][1] if isinstance(tapes, list | tuple) and tapes else ""
    text = str(typed.get("length") or typed.get("from") or first or "")
    is_inches = _INCHES.search(text.casefold()) is not None
    return Unit.INCH if is_inches else Unit.MILLIMETRE


def _scraps(fields: Fields, fabric: FabricSettings, mistakes: list[str]) -> ScrapsThere:
    """Read scraps that are typed as sizes and those that are drawn in a file."""
    unit_mm = fields.number("unit_mm", 0.0, most=1e6) or None
    if fields.has("unit_mm") and not fabric.scrap_drawing:
        fields.mistake("unit_mm", "is that of a drawing; give --scraps FILE")
    try:
        return scraps_there(fabric, Path(), unit_mm)
    except SettingsError as error:
        mistakes += error.messages
        return ScrapsThere(())


def _tapes(
    typed: Mapping[str, object],
    fabric: FabricSettings,
    grain: Grain | None,
    mistakes: list[str],
) -> tuple[SizedTape, ...]:
    rows = typed.get("tape", ())
    found: list[SizedTape] = []
    for row in rows if isinstance(rows, list | tuple) else ():
        said, *texts = (str(text) for text in row)
        name = " ".join(said.split())
        parts = _SIZE.fullmatch(name)
        if parts is None:
            mistakes.append(
                f'--tape: "{name}" is no name; write NAME, or SIZE: NAME for several '
                "sizes"
            )
            continue
        lengths: list[float] = []
        for text in texts:
            try:
                lengths.append(parse_length(text))
            except SettingsError as error:
                mistakes += [f'--tape "{name}": {line}' for line in error.messages]
        if len(lengths) < len(texts):
            continue
        size, own = (parts["size"] or "").strip(), parts["name"].strip()
        if any((one.size, one.tape.name) == (size, own) for one in found):
            mistakes.append(f'--tape: two are called "{name}"; give one another name')
        try:
            need = fabric_need(fabric, lengths[0], lengths[1], grain)
            found.append(SizedTape(size, WantedTape(own, need)))
        except SettingsError as error:
            mistakes += [f'--tape "{name}": {line}' for line in error.messages]
    if len({bool(one.size) for one in found}) > 1:
        mistakes.append("--tape: write the size before every name, or before none")
    return tuple(found)


def _need(
    fields: Fields,
    fabric: FabricSettings,
    grain: Grain | None,
    *,
    has_piece: bool,
) -> tuple[Need | None, bool]:
    """Return the single tape that is typed, and whether its length is a promise."""
    length = fields.length("length", None)
    width = _cut_width(fields)
    if fields.has("tape"):
        for key in ("length", "cut_width", "finished_width"):
            if fields.has(key):
                fields.mistake(key, "stands in every --tape already; take one out")
        return None, False
    if not fields.has("cut_width") and not fields.has("finished_width"):
        fields.mistake(
            "cut_width", "is missing; write the width of the flat strip, like 2in"
        )
    if not fields.has("length") and not has_piece:
        fields.mistake("length", "is missing; write the tape that is needed, like 4yd")
    is_promise = not fields.has("length")
    if length is None and fabric.rectangle is not None and width:
        length = promised_length(width, *fabric.rectangle)
    run = _run(fields, length)
    if length is None or width is None:
        return None, False
    try:
        return fabric_need(fabric, length, width, grain, run), is_promise
    except SettingsError as error:
        for line in error.messages:
            fields.complain(line)
        return None, False


def _cut_width(fields: Fields) -> float | None:
    """Return the cut width as it is typed, or from finished width and fold."""
    fold = fields.choice("fold", TapeFold, TapeFold.DOUBLE)
    typed = fields.length("cut_width", None)
    finished = fields.length("finished_width", None, positive=True)
    if fields.has("cut_width") and fields.has("finished_width"):
        fields.mistake("finished_width", "gives the cut width too; take one out")
    if fields.has("fold") and not fields.has("finished_width"):
        fields.mistake("fold", "says nothing without --finished-width")
    if finished is None:
        return typed
    return cut_width(finished, fold)


def _run(fields: Fields, length: float | None) -> TapeRun | None:
    """Return the way of the tape where no join may lie at some places."""
    texts = fields.texts("avoid_joins_at")
    places = [fields.parsed("avoid_joins_at", text, parse_length) for text in texts]
    within = fields.length("avoid_joins_within", None, positive=True)
    keys = ("avoid_joins_at", "avoid_joins_within")
    for key, other in (keys, keys[::-1]):
        if fields.has(key) and not fields.has(other):
            option = "--" + key.replace("_", "-")
            fields.mistake(other, f"is missing; {option} says nothing without it")
    is_closed = fields.truth("closed", default=False)
    if is_closed and not texts:
        fields.mistake("closed", "says nothing without --avoid-joins-at")
    if not texts or within is None or length is None:
        return None
    avoid = tuple((place, within) for place in places if place is not None)
    try:
        return TapeRun(length, is_closed=is_closed, avoid=avoid)
    except SettingsError as error:
        for line in error.messages:
            fields.mistake("avoid_joins_at", line)
        return None


def _check_together(typed: Mapping[str, object], mistakes: list[str]) -> None:
    """Complain of options that answer different questions."""
    kinds = {
        "--tape": "tape" in typed,
        "--from": "from" in typed,
        "--scrap or --scraps": "scrap" in typed or "scraps" in typed,
    }
    asked = [kind for kind, is_there in kinds.items() if is_there]
    if len(asked) > 1:
        mistakes.append(f"{' and '.join(asked)} are different questions; ask one")
    if asked and "widths" in typed:
        mistakes.append(f"--widths: compares cloth off the bolt; take out {asked[0]}")
    if "--tape" not in asked:
        for key in BOUGHT_KEYS if asked else ():
            if key in typed:
                option = "--" + key.removesuffix("_percent").replace("_", "-")
                mistakes.append(
                    f"{option}: says nothing of cloth that is there already; take it "
                    f"out, or {asked[0]}"
                )
    for key in ("avoid_joins_at", "same_slant", "one_way"):
        # Strips of a scrap may be kept from being turned, which is all that one-way is.
        is_scrap = key == "one_way" and kinds["--scrap or --scraps"]
        if asked and key in typed and not is_scrap:
            option = "--" + key.replace("_", "-")
            mistakes.append(
                f"{option}: is looked at for one tape off the bolt; take out {asked[0]}"
            )
