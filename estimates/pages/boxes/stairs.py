"""Boxes of stairs cast with the slab."""

from __future__ import annotations

from dataclasses import replace

from django.utils.translation import gettext_lazy as _

from estimates.pages.boxes import kinds
from estimates.pages.boxes.kinds import Box, Kind, Label, Part, Rows


def _landing(number: int, *, title: Label) -> tuple[Box, ...]:
    path = f"landings[{number}]"
    return (
        replace(kinds.mm(f"{path}.length_mm", title, hint=_("length"), needed=False), rare=True),
        replace(kinds.mm(f"{path}.width_mm", _("its width"), needed=False), rare=True),
        replace(kinds.mm(f"{path}.thickness_mm", _("its thickness"), needed=False), rare=True),
        replace(
            kinds.mm(f"{path}.formed_edge_mm", _("its edges with a form"), needed=False), rare=True, usual=0
        ),
    )


FLIGHTS = Rows(
    folded=True,
    path="flights",
    title=_("Stairs"),
    hint=_("Straight flights on a waist slab; the last riser against a landing is the landing's."),
    one=_("Flight"),
    boxes=(
        Box(path="name", label=_("Name")),
        kinds.mm("width_mm", _("Width")),
        kinds.mm("waist_mm", _("Waist, square to the slope")),
        kinds.number("steps", _("Steps")),
        kinds.mm("going_mm", _("Going")),
        kinds.mm("riser_mm", _("Riser")),
        Box(
            path="open_sides",
            label=_("Sides with a form"),
            kind=Kind.WHOLE_CHOICE,
            choices=(("0", "0"), ("1", "1"), ("2", "2")),
            needed=False,
            rare=True,
            hint=_("empty: both"),
            usual=2,
        ),
        *_landing(0, title=_("First landing")),
        *_landing(1, title=_("Second landing")),
        replace(kinds.point("start", _("Foot in plan")), needed=False, rare=True),
        replace(kinds.point("towards", _("Climbs towards")), needed=False, rare=True),
    ),
)

PARTS: tuple[Part | Rows, ...] = (FLIGHTS,)
