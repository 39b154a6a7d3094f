"""Keeping what letters of parts mean, whatever a change of a job file cuts."""

from collections.abc import Sequence

from edgefinder.classifier.job import Job
from edgefinder.classifier.job_file import draft_text
from edgefinder.classifier.part_letters import has_parts, with_letters_kept
from edgefinder.classifier.sizes import SizePieces
from edgefinder.classifier.tagging import marked_pieces
from edgefinder.errors import EdgefinderError
from edgefinder.memory import Memory


def letters_kept(
    job: Job, sizes: Sequence[SizePieces], text: str, memory: Memory | None = None
) -> str:
    """Let letters of parts mean in a changed job file what they meant before.

    Parameters
    ----------
    job : Job
        Before the change.
    sizes : sequence of SizePieces
        With the numbers of the job file.
    text : str
        Of the job file after the change; its letters are those of before.
    memory : Memory or None

    Returns
    -------
    str
        The text itself where pieces cannot be cut, before or after: that is told
        where the job file is followed.

    Raises
    ------
    TagError, SettingsError
        If they cannot go on to mean it.
    """
    if text == job.text:
        return text
    kept = Memory() if memory is None else memory
    try:
        before = marked_pieces(job, sizes, kept, "")
        if not any(map(has_parts, before.values())):
            return text
        after = marked_pieces(draft_text(job.path, text)[0], sizes, kept, "")
    except EdgefinderError:
        return text
    return with_letters_kept(text, before, after)
