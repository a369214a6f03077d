"""The title block of documents about a slab, after ISO 7200: whose, of what, by which drawing, as of when."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.utils import formats, timezone
from django.utils.translation import gettext as _

from estimates.documents.paper import BLANK, Field
from projects.access.actor import Actor


def of_design(actor: Actor, *, design: Any, edition: str, as_of: datetime) -> tuple[Field, ...]:
    """Return the fields of the title block; what the drawing does not say shows a dash."""
    drawing = design.drawing
    revision = _("rev. %s") % drawing.revision if drawing.revision else ""
    at = timezone.localtime(as_of)
    return (
        Field(name=_("Firm"), value=actor.firm_name),
        Field(name=_("Site"), value=design.slab.site.name),
        Field(name=_("Slab"), value=design.slab.name, span=2),
        Field(name=_("Drawing and revision"), value=f"{drawing.number} {revision}".strip()),
        Field(name=_("Engineer"), value=drawing.engineer or BLANK),
        Field(name=_("Date of the revision"), value=formats.date_format(drawing.dated)),
        Field(name=_("Profile and edition"), value=edition or BLANK),
        Field(name=_("As of"), value=f"{formats.date_format(at, 'DATETIME_FORMAT')} {at:%Z}", span=2),
        Field(name=_("Design"), value=str(design.number)),
    )
