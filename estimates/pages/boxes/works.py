"""Boxes of the works beside concrete and steel, of expected losses and of the remark."""

from __future__ import annotations

from django.utils.translation import gettext_lazy as _

from estimates.pages.boxes import kinds
from estimates.pages.boxes.kinds import Box, Kind, Label, Part, Rows

CURING = Part(
    title=_("Curing"),
    boxes=(
        kinds.choice(
            "curing.cement",
            _("Kind of cement"),
            choices=(
                ("opc", _("ordinary Portland")),
                ("blended", _("blended")),
                ("unknown", _("not known; counts as blended")),
            ),
        ),
        kinds.choice(
            "curing.method",
            _("Kept wet by"),
            choices=(("ponding", _("ponded water")), ("wet_cover", _("wet cloth"))),
        ),
        Box(path="curing.hot_dry", label=_("Hot dry weather is expected"), kind=Kind.CHECK, needed=False),
        kinds.number(
            "curing.days", _("Days"), needed=False, hint=_("as the engineer states; empty for the profile's")
        ),
    ),
)

KINDS_OF_LOSS: tuple[tuple[str, Label], ...] = (
    ("cement", _("Cement")),
    ("sand", _("Sand")),
    ("stone", _("Stone")),
    ("water", _("Water")),
    ("admixture", _("Admixtures")),
    ("steel", _("Steel")),
    ("binding-wire", _("Binding wire")),
    ("formwork", _("Formwork")),
    ("curing-water", _("Curing water")),
    ("curing-cover", _("Curing cover")),
)

LOSSES = Part(
    title=_("Expected loss"),
    hint=_("In place of the profile's allowance; empty leaves the profile's."),
    boxes=tuple(
        kinds.number(f"allowances.{kind}", label, unit="%", needed=False) for kind, label in KINDS_OF_LOSS
    ),
)

REMARK = Part(
    title=_("Remark"),
    boxes=(Box(path="remark", label=_("Remark of the drawing"), kind=Kind.LONG, needed=False),),
)

PARTS: tuple[Part | Rows, ...] = (CURING,)
