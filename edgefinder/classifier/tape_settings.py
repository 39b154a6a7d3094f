"""Reading what a job file says about a tape."""

from typing import Final

from edgefinder.classifier.fields import Fields
from edgefinder.classifier.job import Grain, TapeFold, TapeSettings
from edgefinder.classifier.keys import Key, Kind

MOST_WIDTHS: Final = 20
"""Finished widths in a cut width. The widest rule takes 6 and the turn of cloth; more
than three times that is a slip of the unit."""

BY_THICKNESS: Final = "by thickness"
"""Written for a turn of cloth that is worked out."""

TAPE_KEYS: Final = (
    Key("name", Kind.TEXT, "runs refer to it", required=True),
    Key(
        "finished_width",
        Kind.LENGTH,
        "what shows on one side",
        required=True,
        positive=True,
    ),
    Key(
        "fold",
        Kind.CHOICE,
        "how the strip is folded, and how many finished widths it is cut",
        default=TapeFold.DOUBLE,
        notes=(
            (TapeFold.SINGLE, "2"),
            (TapeFold.DOUBLE, "4"),
            (TapeFold.DOUBLE_LAYER, "6"),
            (TapeFold.FLAT, "1"),
            (TapeFold.FACING, "3"),
        ),
    ),
    Key("grain", Kind.CHOICE, "how strips are cut", default=Grain.BIAS),
    Key(
        "cloth",
        Kind.TEXT,
        "the cloth of this tape, if it is another one",
        otherwise="none: that of `[fabric]`",
    ),
    Key(
        "turn_of_cloth",
        Kind.LENGTH,
        "extra cut width, used up by the thickness of the layers; "
        f'`"{BY_THICKNESS}"` works it out',
        default=0.0,
        unit="mm",
    ),
    Key(
        "seam",
        Kind.LENGTH,
        "the strip's own seam allowance at each of its edges",
        otherwise="none: as wide as the binding; nothing for a flat strip",
    ),
    Key(
        "thickness",
        Kind.LENGTH,
        "of one layer of the tape; with it the turn of cloth is "
        "[worked out](curves.md#turn-of-cloth)",
        otherwise="none: that of the cloth class",
    ),
    Key(
        "edge_thickness",
        Kind.LENGTH,
        "of all layers at the edge that is bound",
        otherwise="none: one layer",
    ),
    Key(
        "cut_width",
        Kind.LENGTH,
        "width of the flat strip, if you know it; at least 2 finished widths, or 1 of "
        f"a flat strip or a facing, and at most {MOST_WIDTHS}",
        otherwise="none: widths of the fold and turn of cloth",
        positive=True,
    ),
    Key(
        "packet_length",
        Kind.LENGTH,
        "tape in one packet, for ready-made tape: packets are counted too",
        positive=True,
    ),
)
"""Of ``[[tapes]]``."""


def tape_settings(fields: Fields) -> TapeSettings:
    """Read one of the ``[[tapes]]``; its mistakes are kept in the fields."""
    fields.expect(TAPE_KEYS)
    tape = TapeSettings(
        name=fields.text("name"),
        finished_width=fields.needed_length("finished_width"),
        fold=fields.choice("fold", TapeFold),
        grain=fields.choice("grain", Grain),
        cloth=fields.text("cloth", ""),
        turn_of_cloth=_turn_of_cloth(fields),
        seam=fields.length("seam"),
        thickness=fields.length("thickness"),
        edge_thickness=fields.length("edge_thickness"),
        cut_width=fields.length("cut_width"),
        packet_length=fields.length("packet_length"),
    )
    is_flat = tape.fold in {TapeFold.FLAT, TapeFold.FACING}
    least = tape.finished_width if is_flat else 2 * tape.finished_width
    if tape.cut_width is not None and tape.cut_width < least:
        than = "" if is_flat else "twice "
        fields.mistake("cut_width", f"is less than {than}the finished width")
    elif (
        tape.cut_width is not None
        and tape.cut_width > MOST_WIDTHS * tape.finished_width
    ):
        message = f"is more than {MOST_WIDTHS} times the finished width"
        fields.mistake("cut_width", message)
    fields.close()
    return tape


def _turn_of_cloth(fields: Fields) -> float | None:
    """Read a length; None where the thickness of the layers says it."""
    if not fields.has("turn_of_cloth"):
        has_thickness = fields.has("thickness") or fields.has("edge_thickness")
        return None if has_thickness else fields.length("turn_of_cloth")
    if fields.is_word("turn_of_cloth", BY_THICKNESS):
        return None
    return fields.length("turn_of_cloth")
