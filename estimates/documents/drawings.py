"""Drawings for paper: the same lines as on screen, with their look written out."""

from __future__ import annotations

from html import escape
from typing import Final

from estimates.calc.drawing import bar_shape, slab
from estimates.calc.drawing.bars import Group
from estimates.calc.drawing.parts import WIDTH, Drawing, Lettering, Line, Stroke
from estimates.calc.sheet.parts import DesignSheet
from estimates.documents import paper
from estimates.standards.values import Profile

# ISO 128-2: wide lines twice as heavy as narrow ones; lengths in units of the drawing's paper.
_NARROW: Final = 1.2
_LOOKS: Final = {
    Stroke.OUTLINE: (2.4, "#16202b", ""),
    Stroke.HIDDEN: (_NARROW, "#16202b", "8 4"),
    Stroke.CENTRE: (_NARROW, "#5a6672", "16 4 2 4"),
    Stroke.THIN: (_NARROW, "#5a6672", ""),
    Stroke.DIMENSION: (_NARROW, "#5a6672", ""),
    Stroke.TICK: (2.0, "#16202b", ""),
}
_LETTER: Final = 19
_CONCRETE: Final = "#f1f3f5"
_INK: Final = "#16202b"


_WIDEST: Final = 178.0
_TALLEST: Final = 190.0
"""Room on an upright page [mm]."""


def plan(design: DesignSheet, *, profile: Profile, caption: str) -> paper.Drawing:
    """Return the slab in plan, as wide as the page, or as tall when it is tall."""
    drawn = slab.draw(design, profile=profile)
    tall = drawn.height / WIDTH * _WIDEST > _TALLEST
    return paper.Drawing(svg=of(drawn), caption=caption, height=_TALLEST if tall else None)


def of(drawing: Drawing) -> str:
    """Return a drawing as a whole SVG file."""
    lines = "".join(_line(line) for line in drawing.lines)
    bars = "".join(draw(group) for draw in (_laid, _mark) for group in drawing.bars)
    words = "".join(_words(letter) for letter in drawing.lettering if not letter.coarse)
    concrete = f'<path d="{drawing.concrete}" fill="{_CONCRETE}" fill-rule="evenodd"/>'
    size = f'viewBox="{drawing.view_box}" width="{WIDTH:g}" height="{drawing.height:g}"'
    return f'<svg xmlns="http://www.w3.org/2000/svg" {size}>{concrete}{lines}{bars}{words}</svg>'


def _laid(group: Group) -> str:
    """Some bars of a mark as thick lines, those of the top layer dashed."""
    dash = ' stroke-dasharray="18 4"' if group.layer == "top" else ""
    return f'<path d="{group.path}" fill="none" stroke="{_INK}" stroke-width="2.2"{dash}/>'


def _mark(group: Group) -> str:
    """The mark of a group in its circle."""
    at = f'cx="{group.at_x}" cy="{group.at_y}" r="26"'
    return (
        f'<circle {at} fill="#ffffff" stroke="{_INK}" stroke-width="1.4"/>'
        f'<text x="{group.at_x}" y="{float(group.at_y) + 7:.1f}" font-size="20" '
        f'font-family="Libertinus Serif" text-anchor="middle" fill="{_INK}">{escape(group.mark)}</text>'
    )


def bar(figure: bar_shape.Figure) -> str:
    """Return the figure of a bar's shape as a whole SVG file, its letters beside its parts."""
    lines = "".join(
        f'<path d="{line.path}" fill="none" stroke="#5a6672" stroke-width="0.7"/>' for line in figure.lines
    )
    look = 'fill="none" stroke="#16202b" stroke-width="2.6" stroke-linecap="round"'
    thick = f'<path d="{figure.bar.path}" {look}/>'
    words = "".join(
        f'<text x="{letter.at_x}" y="{letter.at_y}" font-size="{bar_shape.LETTER_UNITS:g}" '
        f'font-family="Libertinus Serif" text-anchor="middle" fill="#16202b">{escape(letter.words)}</text>'
        for letter in figure.letters
    )
    size = f'viewBox="{figure.view_box}" width="{figure.width:g}" height="{figure.height:g}"'
    return f'<svg xmlns="http://www.w3.org/2000/svg" {size}>{lines}{thick}{words}</svg>'


def _line(line: Line) -> str:
    width, colour, dashes = _LOOKS[line.stroke]
    dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
    return f'<path d="{line.path}" fill="none" stroke="{colour}" stroke-width="{width:g}"{dashed}/>'


def _words(letter: Lettering) -> str:
    turned = f' transform="{letter.transform}"' if letter.transform else ""
    look = f'font-size="{_LETTER}" font-family="Libertinus Serif" text-anchor="middle" fill="#16202b"'
    halo = 'stroke="#ffffff" stroke-width="5" paint-order="stroke"'
    return f'<text x="{letter.at_x}" y="{letter.at_y}" {look} {halo}{turned}>{escape(letter.words)}</text>'
