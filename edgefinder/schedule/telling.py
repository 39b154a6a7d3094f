"""How far a long piece of work has come, told to whoever waits for it."""

from collections.abc import Callable, Iterator, Sequence
from typing import TypeVar

Item = TypeVar("Item")

Tell = Callable[[str, int, int], None]
"""Called with what is begun, such as ``"working out size"``, its number from 1, and how
many there are. What is not counted is 1 of 1."""


def silent(what: str, number: int, total: int) -> None:
    """Tell nobody."""


def one_by_one(items: Sequence[Item], what: str, tell: Tell) -> Iterator[Item]:
    """Give items one after the other, and tell of each before it is given.

    Parameters
    ----------
    items : sequence
    what : str
        What they are, in the singular.
    tell : Tell
    """
    for number, item in enumerate(items, start=1):
        tell(what, number, len(items))
        yield item
