"""The slab in plan, drawn from its design sheet: the same drawing on screen and on paper.

Source: ISO 128-2 for the kinds of line, ISO 129-1 for dimensions; openings with crossed diagonals and beams
below the slab dashed with their centre line by common practice of framing plans.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import get_args

from estimates.calc.drawing import bars, dimensions, further, labels, plan, setting_out
from estimates.calc.drawing.dimensions import ROW, Side
from estimates.calc.drawing.parts import EDGE_AIR, LETTER, WIDTH, Drawing, Line, Place, Stroke, path
from estimates.calc.drawing.plan import Paper
from estimates.calc.sheet.parts import DesignSheet
from estimates.standards.load import Profile

_TALLEST = 1_050.0
"""Height kept for the slab itself, so that a long slab set upright stays on one page [unit]."""

_CENTRE_OVERRUN = 22.0
"""Of a centre line past the beam's ends [unit]."""


def draw(design: DesignSheet, *, profile: Profile | None = None) -> Drawing:
    """Draws a slab in plan with its beams, openings and dimensions.

    Source: ISO 128-2, ISO 129-1; see the head of the module.

    Args:
        design: the design sheet [mm].
        profile: the standards profile, to lay the bars of spacing rules; None draws none.

    Returns:
        Lines, lettering, bars and the area of concrete on a paper 1,000 units wide.
    """
    design = plan.straightened(design)
    openings = setting_out.opening_spans(design)
    rows = {side: setting_out.row_count(openings, side=side) for side in get_args(Side)}
    paper, height = _lay_out(design, rows=rows)
    lines = [
        *_edges(design, paper=paper),
        *_beam_lines(design, paper=paper),
        *further.lines(design, paper=paper),
    ]
    lettering = [
        *further.lettering(design, paper=paper, fine=True),
        *further.lettering(design, paper=paper, fine=False),
        *labels.place(design, paper=paper, fine=True),
        *labels.place(design, paper=paper, fine=False),
    ]
    for row, chain in setting_out.chains(design, openings=openings, paper=paper):
        chain_lines, figures = dimensions.draw(row, chain=chain)
        lines += chain_lines
        lettering += figures
    outlines = (*design.outlines, *(opening.corners for opening in design.openings))
    return Drawing(
        height=height,
        concrete=path(tuple(paper.places(outline) for outline in outlines)),
        lines=tuple(lines),
        lettering=tuple(lettering),
        bars=() if profile is None else bars.groups(design, paper=paper, profile=profile),
    )


def in_feet(design: DesignSheet) -> bool:
    """Whether a design is drawn in feet and inches.

    Source: common practice: American drawings are.

    Args:
        design: the design sheet.

    Returns:
        Whether it is.
    """
    return design.profile == "aci"


def _lay_out(design: DesignSheet, *, rows: Mapping[Side, int]) -> tuple[Paper, float]:
    corners = further.reach(design)
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    left, below = _margin(rows["left"] + 2), _margin(rows["below"] + 2)
    right, above = _margin(rows["right"]), _margin(rows["above"])
    wide, tall = max(xs) - min(xs), max(ys) - min(ys)
    scale = min((WIDTH - left - right) / wide, _TALLEST / tall)
    spare = WIDTH - left - right - wide * scale
    paper = Paper(
        scale=scale,
        left=left + spare / 2,
        top=above,
        low_x=min(xs),
        high_x=max(xs),
        low_y=min(ys),
        high_y=max(ys),
        feet=in_feet(design),
    )
    return paper, above + tall * scale + below


def _margin(rows: int) -> float:
    return EDGE_AIR + rows * ROW + 1.3 * LETTER


def _edges(design: DesignSheet, *, paper: Paper) -> list[Line]:
    lines = [
        Line(stroke=Stroke.OUTLINE, places=paper.places(outline), closed=True) for outline in design.outlines
    ]
    for opening in design.openings:
        places = paper.places(opening.corners)
        lines.append(Line(stroke=Stroke.OUTLINE, places=places, closed=True))
        lines += [Line(stroke=Stroke.THIN, places=diagonal) for diagonal in _diagonals(places)]
    return lines


def _diagonals(places: tuple[Place, ...]) -> list[tuple[Place, Place]]:
    """Joins opposite corners; in other outlines than four-cornered ones, the two pairs farthest apart."""
    if len(places) == 3:
        middle = (sum(x for x, _ in places) / 3, sum(y for _, y in places) / 3)
        return [(corner, middle) for corner in places]
    half = len(places) // 2
    pairs = [(places[i], places[i + half]) for i in range(half)]
    return sorted(pairs, key=lambda pair: -math.dist(*pair))[:2]


def _beam_lines(design: DesignSheet, *, paper: Paper) -> list[Line]:
    edges = plan.seen_edges(design.beams, outline=design.outline)
    lines = [Line(stroke=Stroke.HIDDEN, places=paper.places(edge)) for edge in edges]
    for beam in design.beams:
        (x1, y1), (x2, y2) = paper.place(beam.start), paper.place(beam.end)
        length = math.hypot(x2 - x1, y2 - y1)
        over_x, over_y = (x2 - x1) / length * _CENTRE_OVERRUN, (y2 - y1) / length * _CENTRE_OVERRUN
        ends = ((x1 - over_x, y1 - over_y), (x2 + over_x, y2 + over_y))
        lines.append(Line(stroke=Stroke.CENTRE, places=ends))
    return lines
