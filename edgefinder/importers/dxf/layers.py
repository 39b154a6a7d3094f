"""What an entity takes from its layer and its block: colour and visibility."""

from dataclasses import dataclass
from typing import Any, Final

from ezdxf.colors import aci2rgb
from ezdxf.document import Drawing as Document
from ezdxf.entities.dxfgfx import DXFGraphic
from ezdxf.lldxf.encoding import decode_dxf_unicode

from edgefinder.constants import LAST_COLOUR

BY_BLOCK: Final = 0
BY_LAYER: Final = 256
DEFAULT_COLOUR: Final = "#ffffff"
"""Number 7 of the library's table: white on black, black on white."""

FLOATING_LAYER: Final = "0"
"""What stands on it in a block takes the layer of the insert."""


@dataclass(frozen=True, slots=True)
class Layer:
    """One row of the layer table.

    Parameters
    ----------
    colour : str
        ``#rrggbb``.
    hidden : str or None
        ``"off"``, ``"frozen"`` or None.
    """

    colour: str
    hidden: str | None


def layers_of(document: Document) -> dict[str, Layer]:
    """Return the layers of a drawing by their names, which know no case."""
    layers = {}
    for row in document.layers:
        hidden = "frozen" if row.is_frozen() else "off" if row.is_off() else None
        layers[readable(row.dxf.get("name", "")).casefold()] = Layer(
            _true_colour(row) or numbered_colour(abs(row.dxf.get("color", 7))), hidden
        )
    return layers


def layer_name(entity: DXFGraphic, inherited: str | None) -> str:
    """Return the layer on which an entity is seen.

    Parameters
    ----------
    entity : DXFGraphic
    inherited : str or None
        Layer of the insert around it, None in model space.
    """
    own = readable(entity.dxf.get("layer", FLOATING_LAYER))
    return inherited if own == FLOATING_LAYER and inherited is not None else own


def colour_of(entity: DXFGraphic, layer: Layer | None, inherited: str) -> str:
    """Return the colour in which an entity is seen, ``#rrggbb``.

    Parameters
    ----------
    entity : DXFGraphic
    layer : Layer or None
        Its layer, None if that is in no table.
    inherited : str
        Colour of the insert around it.
    """
    true_colour = _true_colour(entity)
    if true_colour is not None:
        return true_colour
    number = entity.dxf.get("color", BY_LAYER)
    if number == BY_BLOCK:
        return inherited
    if 1 <= number <= LAST_COLOUR:
        return numbered_colour(number)
    return layer.colour if layer else DEFAULT_COLOUR


def numbered_colour(number: int) -> str:
    """Return the colour of a number of the colour table, ``#rrggbb``."""
    if not 1 <= number <= LAST_COLOUR:
        return DEFAULT_COLOUR
    return _hex(*aci2rgb(number))


def readable(text: str) -> str:
    """Return text of a DXF with its escapes decoded and undecodable bytes replaced."""
    plain = decode_dxf_unicode(text) if "\\U+" in text else text
    if plain.isascii():
        return plain
    # Undecodable bytes, and half of an escaped pair, stand there as lone surrogates.
    return plain.encode("utf-16", "surrogatepass").decode("utf-16", "replace")


def _true_colour(owner: Any) -> str | None:
    colour = owner.rgb
    return None if colour is None else _hex(*colour)


def _hex(red: int, green: int, blue: int) -> str:
    return f"#{red:02x}{green:02x}{blue:02x}"
