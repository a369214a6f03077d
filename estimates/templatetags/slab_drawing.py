"""Draws a slab from its design sheet: {% load slab_drawing %}{% slab_drawing design %}."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django import template
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from estimates.calc.drawing import slab as drawing
from estimates.calc.drawing.parts import written
from estimates.calc.sheet.parts import DesignSheet
from estimates.standards import load

register = template.Library()


@register.inclusion_tag("estimates/drawing.svg.html")
def slab_drawing(
    design: DesignSheet,
    *,
    id: str = "plan",  # noqa: A002 - HTML's word
    linked: bool = False,
) -> dict[str, Any]:
    """Draw the slab in plan; `id` tells two on one page apart, `linked` leads marks to their lines."""
    return {
        "design": design,
        "drawing": drawing.draw(design, profile=load.profile(design.profile)),
        "linked": linked,
        "id": id,
        "thickness": written(design.thickness_mm, feet=drawing.in_feet(design)),
        "feet": drawing.in_feet(design),
        "words": _in_words(design),
    }


def _in_words(design: DesignSheet) -> str:
    corners = [corner for outline in design.outlines for corner in outline]
    xs, ys = [x for x, _y in corners], [y for _x, y in corners]
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
    return " ".join([size, beams, openings, *_further_words(design)])


def _further_words(design: DesignSheet) -> Iterator[str]:
    """What else the drawing shows, counted."""
    if design.panels:
        yield ngettext("It has %(n)d panel.", "It has %(n)d panels.", len(design.panels)) % {
            "n": len(design.panels)
        }
    if design.construction_joints:
        number = len(design.construction_joints)
        yield ngettext("It has %(n)d construction joint.", "It has %(n)d construction joints.", number) % {
            "n": number
        }
    if design.spacing_rules:
        marks = ", ".join(mark for rule in design.spacing_rules for mark in rule.marks)
        yield _("Bars at a spacing: %(marks)s.") % {"marks": marks}


def _mm(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")
