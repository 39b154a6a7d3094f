"""What is bought: allowances, widths of cloth and what they cost, as text."""

from collections.abc import Sequence
from typing import Final

from edgefinder.reports.amounts import cloth, length, on_ruler, to_cut
from edgefinder.reports.layout import columns, paragraph
from edgefinder.units import Unit
from edgefinder.yardage.buying_table import WidthRows
from edgefinder.yardage.cutting import Cutting, Need
from edgefinder.yardage.preparation import (
    Allowance,
    ClothToBuy,
    Preparation,
    allowances,
)

PREPARATION_HEAD: Final = ("before cutting", "set", "usual", "where from")
"""Columns of the table of allowances."""


def preparation_lines(preparation: Preparation, unit: Unit) -> list[str]:
    """List every allowance as it is set, with the usual figure beside it."""
    return columns(PREPARATION_HEAD, preparation_rows(preparation, unit), left=4)


def preparation_rows(
    preparation: Preparation, unit: Unit
) -> tuple[tuple[str, ...], ...]:
    """Return the cells of every allowance, as `PREPARATION_HEAD` names them."""
    return tuple(
        (
            one.usual.name,
            _amount(one, one.value, unit) if one.is_on else "off",
            _usual(one, unit),
            str(one.usual.mark),
        )
        for one in allowances(preparation)
    )


def _usual(one: Allowance, unit: Unit) -> str:
    least, most = one.usual.least, one.usual.most
    if least == most:
        return _amount(one, most, unit)
    if one.usual.is_share:
        return f"{100 * least:g} to {100 * most:g} %"
    low = length(least, unit).removesuffix(f" {unit}")
    return f"{low} to {length(most, unit)}"


def _amount(one: Allowance, value: float, unit: Unit) -> str:
    return f"{100 * value:g} %" if one.usual.is_share else length(value, unit)


def bought_lines(bought: ClothToBuy, unit: Unit) -> list[str]:
    """Write the sum that leads to what is bought; nothing where only rounding does."""
    parts = [
        (name, value)
        for name, value in (
            ("contingency", bought.contingency),
            ("squaring up", bought.squaring),
            ("shrinkage", bought.shrinkage),
        )
        if value > 0.0
    ]
    if not parts:
        return []
    added = "".join(f" + {to_cut(value, unit)} {name}" for name, value in parts)
    return paragraph(
        f"to buy: {to_cut(bought.cut, unit)} to cut{added}, rounded up to "
        f"{cloth(bought.buy, unit)}",
        hanging="  ",
    )


def cost_lines(cuttings: Sequence[Cutting], need: Need) -> list[str]:
    """Say what the cloth for every way of cutting costs; nothing without a price."""
    price = need.price
    if price is None or not cuttings:
        return []
    said = [
        f"{cutting.method} {price.write(cutting.cost)}"
        for cutting in cuttings
        if cutting.cost is not None
    ]
    rate = f"{price.write(price.coins)} per {price.per}"
    return paragraph(f"cost at {rate}: {', '.join(said)}", hanging="  ")


def widths_lines(rows: Sequence[WidthRows], unit: Unit) -> list[str]:
    """Write what to buy of cloth of every width."""
    priced = any(row.least is not None and row.least.cost is not None for row in rows)
    head = ("cloth", "least cloth by", "usable", "along", "buy")
    table = columns(
        (*head, "cost") if priced else head,
        [_width(row, unit, priced=priced) for row in rows],
        left=2,
    )
    missing = [
        f"{row.cloth.label}: {row.not_possible[-1].reason}"
        for row in rows
        if row.least is None and row.not_possible
    ]
    lines = [*table]
    for text in missing:
        lines += paragraph(text, hanging="  ")
    return lines


def _width(row: WidthRows, unit: Unit, *, priced: bool) -> tuple[str, ...]:
    least = row.least
    label, usable = row.cloth.label, length(row.usable_width, unit)
    if least is None:
        cells: tuple[str, ...] = (label, "not possible", usable, "-", "-")
        return (*cells, "-") if priced else cells
    along = on_ruler(least.cut_size[1], unit)
    cells = (label, str(least.method), usable, along, cloth(least.buy, unit))
    price = least.need.price
    if not priced or price is None or least.cost is None:
        return cells
    return (*cells, price.write(least.cost))
