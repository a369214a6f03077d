"""Boxes of the engineer's answers to questions of the bar schedule."""

from __future__ import annotations

from django.utils.translation import gettext_lazy as _

from estimates.pages.boxes import kinds
from estimates.pages.boxes.kinds import Box, Choices, Kind, Part, Rows

QUESTIONS: Choices = (
    ("lap", _("laps of bars longer than stock")),
    ("coupler", _("couplers of bars longer than stock")),
    ("trimmers", _("trimmers of an opening")),
    ("count", _("number of bars")),
    ("members", _("number of members")),
    ("other", _("something else")),
)

ANSWERS = Rows(
    path="answers",
    title=_("The engineer's answers"),
    hint=_(
        "Laps, couplers and trimmers enter the quantities only by an answer. Write several marks with blanks "
        "between them. Trimmers that the bar schedule holds need their mark only; new ones need size, length "
        "and number."
    ),
    one=_("Answer"),
    boxes=(
        kinds.choice("question", _("About"), choices=QUESTIONS),
        Box(path="marks", label=_("Marks"), kind=Kind.WORDS, needed=False),
        Box(path="decision", label=_("Decided")),
        Box(path="engineer", label=_("Engineer")),
        Box(path="dated", label=_("On"), kind=Kind.DATE),
        kinds.mm("lap_mm", _("Lap"), needed=False),
        kinds.number("joints", _("Joints in a bar"), needed=False),
        kinds.number("share_percent", _("At one section"), unit="%", needed=False),
        Box(path="opening", label=_("Opening"), needed=False),
        kinds.number("size_mm", _("Size"), unit="mm", needed=False),
        kinds.mm("length_mm", _("Length"), needed=False),
        kinds.number("number", _("Number"), needed=False),
    ),
)

PARTS: tuple[Part | Rows, ...] = (ANSWERS,)
