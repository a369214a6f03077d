"""Draws a slab from its design sheet: {% load slab_drawing %}{% slab_drawing design %}."""

from __future__ import annotations

from typing import Any

from django import template
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from estimates.calc.drawing import slab as drawing
from estimates.calc.sheet.parts import DesignSheet

register = template.Library()


@register.inclusion_tag("estimates/drawing.svg.html")
def slab_drawing(design: DesignSheet, *, id: str = "plan") -> dict[str, Any]:  # noqa: A002 - HTML's word
    """Draw the slab in plan; `id` tells two drawings on one page apart."""
    return {
        "design": design,
        "drawing": drawing.draw(design),
        "id": id,
        "thickness": _mm(design.thickness_mm),
        "words": _in_words(design),
    }


def _in_words(design: DesignSheet) -> str:
    xs, ys = [x for x, _y in design.outline], [y for _x, y in design.outline]
    size = _("The slab measures %(wide)s by %(tall)s mm over all and is %(thick)s mm thick.") % {
        "wide": _mm(max(xs) - min(xs)),
        "tall": _mm(max(ys) - min(ys)),
        "thick": _mm(design.thickness_mm),
    }
    beams = ngettext("It has %(n)d beam.", "It has %(n)d beams.", len(design.beams)) % {
        "n": len(design.beams)
    }
    openings = ngettext("It has %(n)d opening.", "It has %(n)d openings.", len(design.openings)) % {
        "n": len(design.openings)
    }
    return f"{size} {beams} {openings}"


def _mm(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")
