"""Keeping in a job file how the edges of its pieces are drawn."""

from collections.abc import Sequence

from edgefinder.classifier.carrying import Carried, Changed
from edgefinder.classifier.edge_comments import with_edge_comment
from edgefinder.classifier.editing.drawn_rows import write_as_drawn
from edgefinder.classifier.editing.job_places import named_tables, table_named
from edgefinder.classifier.editing.job_renames import rename_edges, rename_piece
from edgefinder.classifier.editing.renamed_pairs import pairs_once, with_new_pairs
from edgefinder.classifier.job import Job, PieceSettings
from edgefinder.classifier.matching.edge_traits import piece_traits, rows_from_traits
from edgefinder.classifier.piece_settings import SAME_EDGE
from edgefinder.classifier.sizes import ONE_SIZE, SizePieces, same_name
from edgefinder.classifier.tagging import settings_of
from edgefinder.errors import SettingsError
from edgefinder.pattern.pieces import Piece


def names_of(carried: Carried) -> list[str]:
    """Return the names of all pieces, as the job file calls them."""
    each = (piece.name for size in carried.sizes for piece in size.pieces)
    return list(dict.fromkeys(each))


def with_shape(
    text: str, name: str, job: Job, sizes: Sequence[SizePieces], carried: Carried
) -> str:
    """Keep how the edges of a piece are drawn now, as the job file numbers them.

    Parameters
    ----------
    text : str
    name : str
        Of the piece in the job file.
    job : Job
    sizes : sequence of SizePieces
        As the drawing has them.
    carried : Carried
        The same with the numbers of the job file.

    Returns
    -------
    str
    """
    said = settings_of(job, name)
    pieces = _drawn(name, sizes, carried)
    wanted = said.as_drawn.size if said.as_drawn else None
    model = next((p for p in pieces if p.size == wanted), pieces[0])
    rows = rows_from_traits(piece_traits([model])[0])
    return write_as_drawn(text, name, model.size or ONE_SIZE, rows)


def _drawn(name: str, sizes: Sequence[SizePieces], carried: Carried) -> list[Piece]:
    """Return a piece of the job file as the drawing has it in every size."""
    as_drawn = carried.drawn_names.get(name, name)
    return [p for size in sizes for p in size.pieces if same_name(p.name, as_drawn)]


def refreshed_text(
    text: str, job: Job, sizes: Sequence[SizePieces], carried: Carried
) -> str:
    """Let the numbers in a job file be those of the drawing as it is now.

    Parameters
    ----------
    text, job, sizes, carried
        As `with_shape` takes them.

    Returns
    -------
    str

    Raises
    ------
    SettingsError
        If one edge must be named where there are several now, or two that are one
        now are said to be different ones in another size.
    """
    names = names_of(carried)
    for one in carried.changed:
        text = _with_new_same_edges(text, one, settings_of(job, one.name))
        new_words = _new_words(one)
        if new_words:
            text = rename_edges(text, one.name, new_words, pieces=names)
    for said in job.pieces:
        text = with_shape(text, said.name, job, sizes, carried)
        pieces = _drawn(said.name, sizes, carried)
        text = with_edge_comment(text, said.name, pieces, job.unit)
    for old, new in carried.drawn_names.items():
        text = rename_piece(text, old, new, pieces=names)
    return text


def _with_new_same_edges(text: str, changed: Changed, said: PieceSettings) -> str:
    """Let what is said of edges in single sizes go by the new numbers too.

    Of the size whose numbers they are now nothing need be said any more.
    """
    table = table_named(named_tables(text, "pieces"), changed.name)
    if table is None:
        return text
    drawn = "" if said.as_drawn is None else said.as_drawn.size
    plans = []
    for key, entry in table.pairs("same_edges"):
        number = text[entry.value.start : entry.value.end]
        same = SAME_EDGE.fullmatch(" ".join(key.name.split()))
        if same is None:  # told where it is read
            plans.append([(key.name, number)])
            continue
        edge, size = int(same["edge"]), same["size"]
        new = changed.new_numbers.get(edge, (edge,)) if size != drawn else ()
        plans.append([(f"{one} in {size}", number) for one in new])
    pairs, clashes = pairs_once(plans)
    if clashes:
        raise SettingsError(
            *(
                f'pieces "{changed.name}": same_edges: "{key}" is said of edges that '
                f"are one now, once with {one} and once with {other}; write one of them"
                for key, one, other in clashes
            )
        )
    return with_new_pairs(text, table, "same_edges", pairs)


def _new_words(changed: Changed) -> dict[str, tuple[str, ...]]:
    return {
        str(old): tuple(map(str, new))
        for old, new in changed.new_numbers.items()
        if new != (old,)
    }
