"""Boxes of joints, of the rules of measurement, and of props and planks on hire."""

from __future__ import annotations

from dataclasses import replace

from django.utils.translation import gettext_lazy as _

from estimates.pages.boxes import kinds
from estimates.pages.boxes.kinds import Box, Kind, Part, Rows

CONSTRUCTION = Rows(
    folded=True,
    path="construction_joints",
    title=_("Construction joints"),
    hint=_("Joints agreed by the engineer. Each parts the slab; the pour to its left comes first."),
    one=_("Joint"),
    boxes=(
        Box(path="name", label=_("Name")),
        Box(path="line", label=_("Line"), kind=Kind.CORNERS, unit="mm"),
        Box(path="engineer", label=_("Agreed by"), needed=False),
        Box(path="agreed", label=_("Agreed on"), kind=Kind.DATE, needed=False),
        Box(
            path="beams_left",
            label=_("Beams whole with the left"),
            kind=Kind.WORDS,
            needed=False,
            rare=True,
            hint=_("names, with blanks between"),
        ),
        Box(
            path="beams_right",
            label=_("Beams whole with the right"),
            kind=Kind.WORDS,
            needed=False,
            rare=True,
            hint=_("names, with blanks between"),
        ),
    ),
)

EXISTING = Rows(
    folded=True,
    path="existing_joints",
    title=_("Joints to existing concrete"),
    hint=_("Faces along the slab's edge that are cast against old concrete; they need no form."),
    one=_("Joint"),
    boxes=(
        Box(path="name", label=_("Name")),
        Box(path="line", label=_("Line along the edge"), kind=Kind.CORNERS, unit="mm"),
        kinds.mm("thickness_mm", _("Height of the face")),
        Box(path="roughened", label=_("Roughened"), kind=Kind.CHECK, needed=False),
        kinds.number("bonding_kg_m2", _("Bonding agent"), unit="kg/m²", needed=False),
        *(
            replace(box, needed=False, rare=True)
            for box in (
                replace(
                    kinds.choice(
                        "dowels.kind",
                        _("Bars across it"),
                        choices=(("dowel", _("dowels")), ("coupler", _("couplers"))),
                    ),
                    usual="dowel",
                ),
                kinds.number("dowels.size_mm", _("Size"), unit="mm"),
                kinds.mm("dowels.spacing_mm", _("Spacing")),
                kinds.mm("dowels.length_mm", _("Length of each")),
                replace(kinds.mm("dowels.drilled_mm", _("Drilled in")), usual=0),
                kinds.number("dowels.pieces", _("Number"), hint=_("as the drawing prints it")),
            )
        ),
    ),
)

FALSEWORK = Part(
    title=_("Props and planks"),
    hint=_("As the formwork designer's drawing counts them. Without that drawing they are not known."),
    boxes=(
        Box(path="falsework.drawing_number", label=_("Number of the formwork drawing"), needed=False),
        Box(path="falsework.designer", label=_("Formwork designer"), needed=False),
    ),
)

HIRE = Rows(
    folded=True,
    path="falsework.items",
    title=_("On hire"),
    hint=_("One row for each kind of prop, plank or frame."),
    one=_("Item"),
    boxes=(
        Box(path="name", label=_("What it is")),
        kinds.number("number", _("Number")),
        kinds.number("days", _("Days on hire"), needed=False),
    ),
)

MEASUREMENT = Part(
    title=_("Rules of measurement"),
    boxes=(
        Box(
            path="measurement",
            label=_("Named rules for the bill"),
            needed=False,
            hint=_("is_1200 or cpwd; nrm2, cesmm4, smm7, smm2_malaysia or pomi; empty for the profile's own"),
        ),
    ),
)

PARTS: tuple[Part | Rows, ...] = (CONSTRUCTION, EXISTING, FALSEWORK, HIRE, MEASUREMENT)
