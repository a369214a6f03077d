"""A bar with its pieces drawn to scale, as plain coordinates for SVG."""

from collections.abc import Sequence
from dataclasses import dataclass

WIDTH = 360
HEIGHT = 26
LETTER = 5.2
"""Width that a letter takes at the picture's size of text, in its own units."""


@dataclass(frozen=True, slots=True)
class Part:
    """A part of the bar: a piece, an offcut or scrap; the label is empty where it does not fit."""

    kind: str
    label: str
    x: float
    width: float

    @property
    def middle(self) -> float:
        """Where its label stands."""
        return round(self.x + self.width / 2, 2)


@dataclass(frozen=True, slots=True)
class Picture:
    """A bar: its parts from left to right, drawn on a canvas of `width` × `height`."""

    parts: tuple[Part, ...]
    bar_width: float
    width: int = WIDTH
    height: int = HEIGHT


def draw(
    pieces: Sequence[tuple[str, int, int]], *, bar_mm: int, rest_mm: int, kept: bool, longest_mm: int
) -> Picture:
    """Draw a bar that is cut.

    Source: derived: lengths over the longest bar of the plan, so that bars of several lengths compare; what
    the blade takes lies between the pieces.

    Args:
        pieces: label, length [mm] and number of each kind, in the order of cutting.
        bar_mm: length of the bar [mm].
        rest_mm: what is left after the last cut [mm].
        kept: whether the rest goes back into store.
        longest_mm: the bar that fills the canvas [mm], not below `bar_mm`.

    Returns:
        The picture; widths add up to the bar's.

    Raises:
        ValueError: the pieces and the rest are longer than the bar, or the bar than the longest.

    >>> picture = draw([("S1", 2960, 4)], bar_mm=12000, rest_mm=148, kept=False, longest_mm=12000)
    >>> [(part.kind, part.label, part.width) for part in picture.parts][-2:]
    [('piece', 'S1', 88.8), ('scrap', '', 4.44)]
    """
    cut_mm = sum(length * number for _label, length, number in pieces)
    if cut_mm + rest_mm > bar_mm or bar_mm > longest_mm:
        raise ValueError(f"pieces of {cut_mm} mm and a rest of {rest_mm} mm do not fit a bar of {bar_mm} mm")
    scale = WIDTH / longest_mm
    number_of = sum(number for _label, _length, number in pieces)
    blade_mm = (bar_mm - cut_mm - rest_mm) / number_of if number_of else 0
    parts: list[Part] = []
    at_mm = 0.0
    for label, length, number in pieces:
        for _each in range(number):
            parts.append(_part("piece", label, at_mm=at_mm, length_mm=length, scale=scale))
            at_mm += length + blade_mm
    if rest_mm:
        kind = "kept" if kept else "scrap"
        at_mm = bar_mm - rest_mm
        parts.append(_part(kind, "", at_mm=at_mm, length_mm=rest_mm, scale=scale))
    return Picture(parts=tuple(parts), bar_width=round(bar_mm * scale, 2))


def _part(kind: str, label: str, *, at_mm: float, length_mm: int, scale: float) -> Part:
    width = round(length_mm * scale, 2)
    fits = len(label) * LETTER <= width
    return Part(kind=kind, label=label if fits else "", x=round(at_mm * scale, 2), width=width)
