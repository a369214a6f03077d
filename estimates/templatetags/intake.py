"""Words for what was read of a file: {% load intake %}{% read_of file %}, {% figure_of row "A" %}."""

from __future__ import annotations

from django import template
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from estimates.calc.intake import files
from estimates.calc.intake.found import Fact
from estimates.calc.intake.schedule import BarRow
from estimates.models import IntakeFile
from projects.pages.figures import NBSP

register = template.Library()

NAMES = {
    "drawing.number": gettext_lazy("Drawing number"),
    "drawing.revision": gettext_lazy("Revision"),
    "grade": gettext_lazy("Concrete grade"),
    "steel_grade": gettext_lazy("Steel grade"),
    "cover_mm": gettext_lazy("Cover of the slab's bars"),
    "beam_cover_mm": gettext_lazy("Cover of the beams' bars"),
    "length_unit": gettext_lazy("Unit of lengths"),
    "shape_standard": gettext_lazy("Standard of the shapes"),
}
NOTES = {
    "letters": gettext_lazy("letters"),
    "separator": gettext_lazy("cells parted by"),
    "formulas": gettext_lazy("cells with a formula, read as saved"),
    "mended": gettext_lazy("faults of form passed over"),
    "thickness": gettext_lazy("thickness in mm"),
}


@register.simple_tag
def read_of(file: IntakeFile) -> str:
    """Say what a file gave."""
    found = files.of_data(file.found)
    said = []
    notes: list[Fact] = []
    if found.plan:
        count = len(found.plan.layers)
        said.append(ngettext("%(n)d layer", "%(n)d layers", count) % {"n": count})
        said.append(_("unit %s") % (found.plan.unit or _("not stated")))
        notes += found.plan.notes
    if found.schedule:
        count = len(found.schedule.rows)
        said.append(ngettext("%(n)d bar mark", "%(n)d bar marks", count) % {"n": count})
        notes += found.schedule.notes
    if found.sheet is not None:
        said.append(_("a design sheet"))
    said += [f"{NOTES[note.name]}: {note.value} {note.words}".strip() for note in notes if note.name in NOTES]
    return "; ".join(said)


@register.simple_tag
def figure_of(row: BarRow, name: str) -> str:
    """Write a figure of a row as the file has it, with the unit that stands behind it there."""
    figure = row.spacing if name == "spacing" else row.dimensions.get(name)
    if figure is None:
        return ""
    text = f"{figure.value:.10g}"
    return f"{text}{NBSP}{figure.unit}" if figure.unit else text


@register.simple_tag
def said_name(name: str) -> str:
    """Name what a title says."""
    return str(NAMES.get(name, name))
