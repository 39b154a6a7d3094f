"""Which tape the edges take that are bound on their own: said of their piece."""

from collections.abc import Mapping, Sequence

from edgefinder.classifier.editing.settings_edits import set_key
from edgefinder.classifier.sizes import same_name
from edgefinder.classifier.tagging import settings_of
from edgefinder.errors import TagError
from edgefinder.schedule.draft import Draft


def with_only_tape_said(text: str, draft: Draft) -> str:
    """Say which tape pieces take, before there is a second one.

    Parameters
    ----------
    text : str
        Of the job file of the draft.
    draft : Draft

    Returns
    -------
    str
        Every piece with an edge that is bound on its own names the only tape; the
        same text where there is none or several.
    """
    if len(draft.job.tapes) != 1:
        return text
    (tape,) = draft.job.tapes
    for piece in _bound_alone(draft):
        if not settings_of(draft.job, piece).tape:
            text = set_key(text, "pieces", piece, "tape", tape.name)
    return text


def with_tape_of_pieces(
    text: str, draft: Draft, pointed: Mapping[str, Sequence[int]], tape: str
) -> str:
    """Say which tape pieces take whose edges are bound on their own.

    Parameters
    ----------
    text : str
        With those edges bound.
    draft : Draft
        As it was before.
    pointed : mapping of str to sequence of int
        Numbers of the edges by the name of their piece, in the size that is seen.
    tape : str

    Raises
    ------
    TagError
        If other edges of a piece are bound on their own with another tape.
    """
    alone = _bound_alone(draft)
    for piece, numbers in pointed.items():
        now = settings_of(draft.job, piece).tape
        if not now and len(draft.job.tapes) == 1:
            now = draft.job.tapes[0].name
        if now and same_name(now, tape):
            continue
        if alone.get(piece, set()) - set(numbers):
            raise TagError(
                f'other edges of "{piece}" are bound on their own with tape "{now}"; '
                f'put those of tape "{tape}" into a new run'
            )
        text = set_key(text, "pieces", piece, "tape", tape)
    return text


def _bound_alone(draft: Draft) -> dict[str, set[int]]:
    """Return the edges that are bound and in no run of the job file, by piece."""
    found: dict[str, set[int]] = {}
    written = {run.name for run in draft.job.runs}
    for size in () if draft.tagged is None else draft.tagged.sizes:
        for run in size.runs:
            if run.settings.name in written:
                continue
            for group in run.groups:
                numbers = {copy.number for copy in group.copies}
                found.setdefault(group.piece.name, set()).update(numbers)
    return found
