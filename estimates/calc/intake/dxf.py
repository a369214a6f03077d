"""A DXF drawing as facts: closed and open outlines, single lines and words of its model space."""

import io
import math
from collections import Counter
from collections.abc import Callable, Mapping
from typing import Any, Final

import ezdxf
from ezdxf import recover

from estimates.calc.intake import limits, titles
from estimates.calc.intake.found import Fact, refuse
from estimates.calc.intake.plan import Corner, Layer, Plan, Ring, Segment, Words

_UNITS: Final[Mapping[int, str]] = {1: "in", 2: "ft", 4: "mm", 5: "cm", 6: "m"}
"""What `$INSUNITS` states, by the DXF reference; 0 states none."""

_SAME: Final = 1e-6


def read(content: bytes) -> Plan:
    """Reads the model space of a drawing.

    Source: DXF reference for the group codes, read by the library ezdxf; a bulge is the tangent of a quarter
    of the arc's angle.

    Args:
        content: the file.

    Returns:
        What is drawn by layer, in the drawing's unit, and what of it is not read.

    Raises:
        Unreadable: no sound drawing, or more in it than is read.
    """
    document, mended = _opened(content)
    space = document.modelspace()
    if len(space) > limits.DXF_ENTITIES:
        raise refuse(
            "too_many_entities",
            f"the drawing holds {len(space)} things, at most {limits.DXF_ENTITIES} are read; "
            "send the layers of the slab only",
        )
    reader = _Reader()
    for order, entity in enumerate(space):
        reader.take(entity, order=order)
    if not reader.has_drawn:
        raise refuse(
            "nothing_drawn",
            "the model space holds no line, polyline, arc or circle; unpack its blocks and save it again",
        )
    unit = _UNITS.get(int(document.header.get("$INSUNITS", 0) or 0), "")
    return reader.plan(unit=unit, mended=mended)


def _opened(content: bytes) -> tuple[Any, int]:
    if not content.rstrip().endswith(b"EOF"):
        raise refuse("cut_short", "the drawing ends before its end mark; save it again as DXF")
    broken = "the drawing is damaged and cannot be read; save it again as DXF"
    try:
        document, auditor = recover.read(io.BytesIO(content))
    except (
        ezdxf.DXFError,
        OSError,
        ValueError,
        KeyError,
        TypeError,
        AttributeError,
        IndexError,
        RecursionError,
    ) as error:
        raise refuse("damaged", broken) from error
    return document, len(auditor.errors) + len(auditor.fixes)


class _Reader:
    """Collects what the entities of a drawing say."""

    def __init__(self) -> None:
        self._rings: list[Ring] = []
        self._segments: list[Segment] = []
        self._words: list[Words] = []
        self._missed: Counter[str] = Counter()
        self._order: dict[str, int] = {}
        self._kinds: Mapping[str, Callable[..., bool]] = {
            "LWPOLYLINE": self._light,
            "POLYLINE": self._heavy,
            "LINE": self._line,
            "ARC": self._arc,
            "CIRCLE": self._circle,
            "TEXT": self._text,
            "MTEXT": self._text,
        }

    def take(self, entity: Any, *, order: int) -> None:
        """Takes one thing that is drawn, or counts it among those that are not read."""
        take = self._kinds.get(entity.dxftype())
        try:
            if take is None or not take(entity, layer=str(entity.dxf.layer)[:80], order=order):
                self._missed[entity.dxftype()] += 1
        except (ezdxf.DXFError, ValueError, TypeError, AttributeError, ZeroDivisionError):
            self._missed[entity.dxftype()] += 1

    @property
    def has_drawn(self) -> bool:
        """Whether any outline or line was taken."""
        return bool(self._rings or self._segments)

    def plan(self, *, unit: str, mended: int) -> Plan:
        """Puts together what was taken."""
        notes = (Fact(name="mended", value=str(mended), words=""),) if mended else ()
        said = {fact.name: fact for word in self._words for fact in titles.of_text(word.text)}
        return Plan(
            kind="dxf",
            unit=unit,
            layers=_layers(self._rings, segments=self._segments, words=self._words),
            rings=tuple(self._rings),
            segments=tuple(self._segments),
            words=tuple(self._words),
            titles=tuple(said.values()),
            notes=notes,
            not_read=tuple(
                Fact(name=kind, value=str(count), words="") for kind, count in sorted(self._missed.items())
            ),
            order=self._order,
        )

    def _light(self, entity: Any, *, layer: str, order: int) -> bool:
        corners = [(float(x), float(y), float(bulge)) for x, y, bulge in entity.get_points("xyb")]
        return self._polyline(corners, closed=bool(entity.closed), layer=layer, order=order)

    def _heavy(self, entity: Any, *, layer: str, order: int) -> bool:
        if not entity.is_2d_polyline:
            return False
        corners = [
            (float(v.dxf.location.x), float(v.dxf.location.y), float(v.dxf.get("bulge", 0.0)))
            for v in entity.vertices
        ]
        return self._polyline(corners, closed=bool(entity.is_closed), layer=layer, order=order)

    def _polyline(self, corners: list[Corner], *, closed: bool, layer: str, order: int) -> bool:
        _require_finite(corners)
        if len(corners) > limits.RING_POINTS:
            return False
        if len(corners) > 2 and math.dist(corners[0][:2], corners[-1][:2]) <= _SAME:
            corners, closed = corners[:-1], True
        if len(corners) < 2 or (len(corners) == 2 and closed and not any(c[2] for c in corners)):
            return False
        if len(corners) == 2 and not closed:
            return self._piece(tuple(corners), layer=layer, order=order)
        self._ring(tuple(corners), closed=closed, layer=layer, order=order)
        return True

    def _line(self, entity: Any, *, layer: str, order: int) -> bool:
        start, end = entity.dxf.start, entity.dxf.end
        corners = ((float(start.x), float(start.y), 0.0), (float(end.x), float(end.y), 0.0))
        return self._piece(corners, layer=layer, order=order)

    def _arc(self, entity: Any, *, layer: str, order: int) -> bool:
        angle = math.radians((entity.dxf.end_angle - entity.dxf.start_angle) % 360)
        start, end = entity.start_point, entity.end_point
        bulge = math.tan(angle / 4)
        corners = ((float(start.x), float(start.y), bulge), (float(end.x), float(end.y), 0.0))
        return self._piece(corners, layer=layer, order=order)

    def _circle(self, entity: Any, *, layer: str, order: int) -> bool:
        x, y, radius = float(entity.dxf.center.x), float(entity.dxf.center.y), float(entity.dxf.radius)
        if radius <= _SAME:
            return False
        corners = ((x - radius, y, 1.0), (x + radius, y, 1.0))
        _require_finite(corners)
        self._ring(corners, closed=True, layer=layer, order=order)
        return True

    def _text(self, entity: Any, *, layer: str, order: int) -> bool:
        text = entity.plain_text() if hasattr(entity, "plain_text") else entity.dxf.text
        words = " ".join(str(text).split())[:200]
        if not words:
            return False
        at = entity.dxf.insert
        number = len(self._words) + 1
        place = (float(at.x), float(at.y))
        _require_finite([(*place, 0.0)])
        self._words.append(Words(id=f"w{number}", layer=layer, text=words, at=place, order=order))
        return True

    def _piece(self, corners: tuple[Corner, ...], *, layer: str, order: int) -> bool:
        _require_finite(corners)
        if math.dist(corners[0][:2], corners[1][:2]) <= _SAME:
            return False
        number = len(self._segments) + 1
        (x, y, bulge), (end_x, end_y, _) = corners
        line = Segment(id=f"s{number}", layer=layer, start=(x, y), end=(end_x, end_y), bulge=bulge)
        self._segments.append(line)
        self._order[line.id] = order
        return True

    def _ring(self, corners: tuple[Corner, ...], *, closed: bool, layer: str, order: int) -> None:
        gap = 0.0 if closed else math.dist(corners[0][:2], corners[-1][:2])
        ring = Ring(id=f"r{len(self._rings) + 1}", layer=layer, corners=corners, closed=closed, gap=gap)
        self._rings.append(ring)
        self._order[ring.id] = order


def _layers(rings: list[Ring], *, segments: list[Segment], words: list[Words]) -> tuple[Layer, ...]:
    names = sorted({thing.layer for group in (rings, segments, words) for thing in group})
    return tuple(
        Layer(
            name=name,
            rings=sum(ring.layer == name for ring in rings),
            lines=sum(line.layer == name for line in segments),
            words=sum(word.layer == name for word in words),
        )
        for name in names
    )


def _require_finite(corners: Any) -> None:
    if not all(math.isfinite(figure) and abs(figure) < 1e9 for corner in corners for figure in corner):
        message = "a coordinate is no number of a drawing"
        raise ValueError(message)
