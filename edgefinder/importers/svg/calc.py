"""Lengths that a drawing leaves to be worked out: ``calc(10mm + 5%)``.

Sums, differences, products and quotients of numbers and lengths are worked out. Other
functions of CSS are refused: they depend on more than a drawing says.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Final

import tinycss2

from edgefinder.errors import DrawingError
from edgefinder.importers.svg.units import MAX_NUMBER, shortened

MAX_CHARACTERS: Final = 1000
MAX_BRACKETS: Final = 32
"""In one another: CSS Values and Units 4, section 10.12, asks for no fewer."""

_CALC: Final = "calc"
_NO_CALCULATION: Final = (
    "is not a length; of calculations only sums and products in calc() are read"
)


@dataclass(frozen=True, slots=True)
class _Value:
    """A number, or a length in user units."""

    number: float
    is_length: bool


def calculated(text: str, px_of: Callable[[float, str], float]) -> float:
    """Work out a length.

    Parameters
    ----------
    text : str
        One ``calc()``.
    px_of : callable
        Gives user units for a number and its unit in lower case, or ``%``; it may
        raise `DrawingError`.

    Returns
    -------
    float
        User units; a plain number is taken for such, as in any attribute.

    Raises
    ------
    DrawingError
        With the reason, if it is anything else, has no meaning (a product of two
        lengths, a share of nothing) or leaves the numbers of a drawing.

    References
    ----------
    CSS Values and Units 4, section 10, "Mathematical Expressions".
    """
    refused = DrawingError(f'"{shortened(text)}" {_NO_CALCULATION}')
    if len(text) > MAX_CHARACTERS:
        raise refused
    tokens = [
        one
        for one in tinycss2.parse_component_value_list(text, skip_comments=True)
        if one.type != "whitespace"
    ]
    if len(tokens) != 1 or not _is_calc(tokens[0]):
        raise refused
    try:
        value = _sum(tokens[0].arguments, px_of, MAX_BRACKETS)
    except _NotUnderstoodError as error:
        raise refused from error
    if not abs(value.number) <= MAX_NUMBER:
        raise DrawingError(f'"{shortened(text)}" comes to too large a number')
    return value.number


class _NotUnderstoodError(Exception):
    """The tokens are no calculation that is read here."""


def _is_calc(token: Any) -> bool:
    return bool(token.type == "function" and token.lower_name == _CALC)


def _sum(
    tokens: Sequence[Any], px_of: Callable[[float, str], float], brackets: int
) -> _Value:
    """Add up products; the signs between them stand in white space."""
    parts: list[list[Any]] = [[]]
    signs = [1.0]
    for index, token in enumerate(tokens):
        if token.type == "literal" and token.value in {"+", "-"}:
            around = (
                *tokens[max(index - 1, 0) : index],
                *tokens[index + 1 : index + 2],
            )
            if [one.type for one in around] != ["whitespace", "whitespace"]:
                raise _NotUnderstoodError
            signs.append(1.0 if token.value == "+" else -1.0)
            parts.append([])
        elif token.type != "whitespace":
            parts[-1].append(token)
    values = [_product(part, px_of, brackets) for part in parts]
    if len({value.is_length for value in values}) != 1:
        raise _NotUnderstoodError
    total = sum(sign * value.number for sign, value in zip(signs, values, strict=True))
    return _Value(total, values[0].is_length)


def _product(
    tokens: Sequence[Any], px_of: Callable[[float, str], float], brackets: int
) -> _Value:
    if len(tokens) % 2 == 0:
        raise _NotUnderstoodError
    total = _one(tokens[0], px_of, brackets)
    for operator, token in zip(tokens[1::2], tokens[2::2], strict=True):
        value = _one(token, px_of, brackets)
        if operator == "*" and not (total.is_length and value.is_length):
            number = total.number * value.number
        elif operator == "/" and not value.is_length and value.number != 0:
            number = total.number / value.number
        else:
            raise _NotUnderstoodError
        if not math.isfinite(number):
            raise _NotUnderstoodError
        total = _Value(number, total.is_length or value.is_length)
    return total


def _one(token: Any, px_of: Callable[[float, str], float], brackets: int) -> _Value:
    if token.type == "number":
        return _Value(token.value, is_length=False)
    if token.type == "percentage":
        return _Value(px_of(token.value, "%"), is_length=True)
    if token.type == "dimension":
        return _Value(px_of(token.value, token.lower_unit), is_length=True)
    inside = token.arguments if _is_calc(token) else None
    inside = token.content if token.type == "() block" else inside
    if inside is None or brackets == 0:
        raise _NotUnderstoodError
    return _sum(inside, px_of, brackets - 1)
