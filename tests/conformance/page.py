"""What a browser says of one SVG file."""

from dataclasses import dataclass

from conformance.curves import Matrix


@dataclass(frozen=True, slots=True)
class Shape:
    """One path or basic shape that the browser draws.

    Parameters
    ----------
    tag : str
    id : str or None
    attributes : dict of str to str
        As they are written.
    sizes : dict of str to float
        The sizes of a basic shape in user units as the browser resolved them, in
        single precision.
    view_box : tuple of float
        Width and height that percentages are of.
    length : float
        What getTotalLength says in user units, asked of the shape enlarged.
    box, enlarged_box : tuple of float
        Left, top, right, bottom in user units: of the shape, and of the enlarged one
        made small again.
    matrix : Matrix
        From user units to those of the outermost svg element, in double precision.
    single_matrix : Matrix
        The same before the transforms were said once more in double precision.
    is_rounded : bool
        Whether a nested viewport holds the matrix to single precision.
    """

    tag: str
    id: str | None
    attributes: dict[str, str]
    sizes: dict[str, float]
    view_box: tuple[float, ...]
    length: float
    box: tuple[float, ...]
    enlarged_box: tuple[float, ...]
    matrix: Matrix
    single_matrix: Matrix
    is_rounded: bool


@dataclass(frozen=True, slots=True)
class Page:
    """What the browser makes of one file.

    Parameters
    ----------
    to_screen : Matrix
        From the user units of the outermost svg element to px.
    shapes : tuple of Shape
        In drawing order.
    copies : tuple of pairs of tuple of float
        The box of each use element, and of what was put in its place.
    """

    to_screen: Matrix
    shapes: tuple[Shape, ...]
    copies: tuple[tuple[tuple[float, ...], tuple[float, ...]], ...]
