"""A drawing as it came, laid out on paper by layer, so that a person can say which layer is what."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from estimates.calc.drawing.parts import WIDTH, Stroke, path
from estimates.calc.intake import layers
from estimates.calc.intake import plan as plans
from estimates.calc.intake.found import Answers
from estimates.calc.intake.plan import Place, Plan, Ring

_MARGIN: Final = 40.0
_TALLEST: Final = 1_100.0
_ROOM_FOR_WORDS: Final = 150.0
_FINER: Final = 20.0
_STROKES: Final[Mapping[str, Stroke]] = {
    "outline": Stroke.OUTLINE,
    "openings": Stroke.OUTLINE,
    "beams": Stroke.CENTRE,
    "panels": Stroke.HIDDEN,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """Words on the paper."""

    words: str
    x: str
    y: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SketchLayer:
    """One layer: its number in the list of questions, its lines as SVG path data, its words."""

    number: int
    name: str
    stroke: Stroke
    paths: tuple[str, ...]
    tags: tuple[Note, ...]
    words: tuple[Note, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sketch:
    """The drawing on a paper as wide as all drawings are."""

    height: float
    layers: tuple[SketchLayer, ...]

    @property
    def view_box(self) -> str:
        """The extent of the paper for SVG."""
        return f"0 0 {WIDTH:g} {self.height:g}"


@dataclass(frozen=True, slots=True)
class _Paper:
    scale: float
    low_x: float
    high_y: float
    left: float

    def place(self, place: Place) -> Place:
        """The paper's place of a place of the drawing; y goes down on paper."""
        return (
            self.left + (place[0] - self.low_x) * self.scale,
            _MARGIN + (self.high_y - place[1]) * self.scale,
        )


def draw(plan: Plan, *, answers: Answers) -> Sketch | None:
    """Lays out all that was read of a drawing.

    Source: ISO 128-2 for the kinds of line; arcs by chords.

    Args:
        plan: the drawing.
        answers: the answers so far; a layer without one is drawn as it is proposed.

    Returns:
        The sketch, or None when nothing is drawn.
    """
    low_x, low_y, high_x, high_y = plan.extent
    wide, tall = high_x - low_x, high_y - low_y
    if wide <= 0 and tall <= 0:
        return None
    scale = min((WIDTH - 2 * _MARGIN - _ROOM_FOR_WORDS) / max(wide, 1e-9), _TALLEST / max(tall, 1e-9))
    paper = _Paper(scale, low_x, high_y, (WIDTH - wide * scale - _ROOM_FOR_WORDS) / 2)
    return Sketch(
        height=round(tall * scale + 2 * _MARGIN, 1),
        layers=tuple(
            _layer(number, name=layer.name, plan=plan, answers=answers, paper=paper)
            for number, layer in enumerate(plan.layers, start=1)
        ),
    )


def _layer(number: int, *, name: str, plan: Plan, answers: Answers, paper: _Paper) -> SketchLayer:
    rings = [ring for ring in plan.rings if ring.layer == name]
    lines = [line for line in plan.segments if line.layer == name]
    layer = next(layer for layer in plan.layers if layer.name == name)
    role = answers.get(f"plan.layer.{name}") or layers.proposed(layer)
    found = [path((_places(ring, paper=paper),), closed=ring.closed) for ring in rings]
    for line in lines:
        bent = Ring(id="", layer=name, corners=((*line.start, line.bulge), (*line.end, 0.0)), closed=False)
        found.append(path((_places(bent, paper=paper),), closed=False))
    starts = [_places(ring, paper=paper)[0] for ring in rings[:12]]
    starts += [paper.place(line.middle) for line in lines[:12]]
    return SketchLayer(
        number=number,
        name=name,
        stroke=_STROKES.get(role, Stroke.THIN),
        paths=tuple(found),
        tags=tuple(Note(words=str(number), x=f"{x + 14:.1f}", y=f"{y - 8:.1f}") for x, y in starts),
        words=tuple(
            Note(words=words.text, x=f"{x:.1f}", y=f"{y:.1f}")
            for words in plan.words
            if words.layer == name and _is_near(words.at, plan=plan)
            for x, y in [paper.place(words.at)]
        ),
    )


def _places(ring: Ring, *, paper: _Paper) -> tuple[Place, ...]:
    corners = [*ring.corners]
    if not ring.closed:
        corners[-1] = (*corners[-1][:2], 0.0)
    finer = paper.scale * _FINER  # so that a chord is not seen on paper
    straight = [(x / _FINER, y / _FINER) for x, y in plans.straightened(corners, mm=finer)]
    return tuple(
        (paper.left + x - paper.low_x * paper.scale, _MARGIN + paper.high_y * paper.scale - y)
        for x, y in straight
    )


def _is_near(at: Place, *, plan: Plan) -> bool:
    low_x, low_y, high_x, high_y = plan.extent
    return low_x <= at[0] <= high_x and low_y <= at[1] <= high_y
