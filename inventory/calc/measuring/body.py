"""A load measured in the body of its truck."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

LEAST_DEPTHS = 3
"""Depths to be read with a rod. Source: public page on measuring tipper bodies (paramvisions.com, 2022)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """Inside of a truck body in metres; the bottom is as the top unless it tapers.

    `heap` is how far the crown of the load stands above the level at which the depths were read; 0 when the
    load was struck level first.
    """

    length: Fraction
    width: Fraction
    depths: Sequence[Fraction]
    bottom_length: Fraction | None = None
    bottom_width: Fraction | None = None
    heap: Fraction = Fraction(0)


def volume(body: Body) -> Fraction:
    """Volume of the load as it lies.

    Source: derived: the prismoid between bottom and top over the mean of the depths, which is
    depth/6 × (top + bottom + 4 × middle): length × width × depth when nothing tapers, and the mean of two
    lengths when only they differ. A heap left on it counts as a pyramid over the top (a third of the box),
    which is common practice and no measurement.

    Args:
        body: inside dimensions [m], all above 0, with at least three depths.

    Returns:
        The volume [m³], above 0.

    Raises:
        ValueError: a dimension that is not above 0, or too few depths.

    A body of 5 m at the top and 4.3 m at the bottom, 2.25 m wide, with three depths (paramvisions.com, 2022):

    >>> depths = [Fraction("1.95"), Fraction("2.15"), Fraction("1.9")]
    >>> body = Body(length=Fraction(5), bottom_length=Fraction("4.3"), width=Fraction("2.25"), depths=depths)
    >>> float(volume(body))
    20.925
    """
    bottom_length = body.length if body.bottom_length is None else body.bottom_length
    bottom_width = body.width if body.bottom_width is None else body.bottom_width
    if len(body.depths) < LEAST_DEPTHS:
        raise ValueError(f"{len(body.depths)} depths must be at least {LEAST_DEPTHS}")
    for figure in (body.length, body.width, bottom_length, bottom_width, *body.depths):
        if figure <= 0:
            raise ValueError(f"dimension {float(figure):g} m of a truck body must be above 0")
    if body.heap < 0:
        raise ValueError(f"heap {float(body.heap):g} m must be 0 or more")
    depth = sum(body.depths, Fraction(0)) / len(body.depths)
    top, bottom = body.length * body.width, bottom_length * bottom_width
    middle = (body.length + bottom_length) * (body.width + bottom_width) / 4
    return depth * (top + bottom + 4 * middle) / 6 + top * body.heap / 3
