"""Results that are kept from one round of work to the next."""

from collections.abc import Callable, Hashable, Mapping, Sequence
from typing import Any, TypeVar

Made = TypeVar("Made")


class Memory:
    """What was worked out in this round and in the last one.

    A key must hold all that a result depends on. Values that compare by identity, as
    pieces do, may stand in it: they are kept alive with it. What raises an error is
    not kept.
    """

    def __init__(self, last: Mapping[Hashable, Any] | None = None) -> None:
        self._last = dict(last or {})
        self._now: dict[Hashable, Any] = {}

    def recall(self, key: Hashable, make: Callable[[], Made]) -> Made:
        """Return the result of a key; made now if neither round has it."""
        (found,) = self.recall_all([key], lambda _: [make()])
        return found

    def recall_all(
        self, keys: Sequence[Hashable], make: Callable[[list[int]], Sequence[Made]]
    ) -> list[Made]:
        """Return the results of several keys; those that are missing are made at once.

        Parameters
        ----------
        keys : sequence of hashable
        make : callable
            Given the indices of the missing ones; returns their results in order.
        """
        missing = []
        for index, key in enumerate(keys):
            if key in self._now:
                continue
            if key in self._last:
                self._now[key] = self._last[key]
            else:
                missing.append(index)
        if missing:
            made = make(missing)
            self._now |= {keys[i]: one for i, one in zip(missing, made, strict=True)}
        return [self._now[key] for key in keys]

    def token(self, value: Hashable) -> object:
        """Return something that stands for a value and all that are equal to it.

        It compares by identity, so that a large value is hashed once, and not in
        every key that it is part of.
        """
        return self.recall(("token", value), object)

    def aside(self) -> "Memory":
        """Return a memory for what is only tried: this one keeps nothing of it."""
        return Memory(self._last | self._now)

    def end_round(self) -> None:
        """Forget what this round had no use for."""
        self._last, self._now = self._now, {}
