"""Boxes of what the concrete has to withstand, and of the day of casting."""

from __future__ import annotations

from django.utils.translation import gettext_lazy as _

from estimates.calc.sheet import grades
from estimates.pages.boxes import kinds
from estimates.pages.boxes.kinds import Box, Choices, Kind, Part, Rows

CLASSES: Choices = tuple((name, name) for known in ("en", "aci") for name in grades.EXPOSURES[known])

DURABILITY = Part(
    title=_("Durability"),
    hint=_("Only what the drawing states; empty for the standards' own."),
    boxes=(
        *(
            kinds.choice(f"durability.further[{at}]", label, choices=CLASSES, needed=False)
            for at, label in enumerate(
                (_("Second exposure class"), _("Third exposure class"), _("Fourth exposure class"))
            )
        ),
        kinds.choice(
            "durability.surroundings",
            _("The slab lies"),
            choices=(
                ("sheltered", _("sheltered")),
                ("weather", _("in weather")),
                ("blinding", _("on blinding")),
                ("earth", _("against earth")),
            ),
            needed=False,
        ),
        kinds.choice(
            "durability.values",
            _("National values"),
            choices=(("recommended", _("recommended")), ("british", _("British"))),
            needed=False,
            hint=_("European standards only"),
        ),
        kinds.choice(
            "durability.structural_class",
            _("Structural class"),
            choices=tuple((name, name) for name in ("S1", "S2", "S3", "S4", "S5", "S6")),
            needed=False,
            hint=_("European standards only; empty for S4"),
        ),
        kinds.mm(
            "durability.deviation_mm",
            _("Deviation of cover"),
            needed=False,
            hint=_("European standards only"),
        ),
        Box(
            path="durability.fire_minutes",
            label=_("Withstands fire for"),
            kind=Kind.WHOLE_CHOICE,
            unit="min",
            choices=tuple((str(minutes), str(minutes)) for minutes in (30, 60, 90, 120, 180, 240)),
            needed=False,
        ),
        kinds.number("durability.air_percent", _("Air in the fresh concrete"), unit="%", needed=False),
    ),
)

PLACING = Part(
    title=_("Day of casting"),
    hint=_("What is planned; the checks look at what stands here."),
    boxes=(
        Box(
            path="placing.beams_apart",
            label=_("Beams are cast before the slab"),
            kind=Kind.CHECK,
            needed=False,
        ),
        Box(
            path="placing.beams_joint",
            label=_("Joint between beams and slab"),
            needed=False,
            hint=_("the engineer's words, name and date"),
        ),
        kinds.mm("placing.free_fall_mm", _("Concrete falls from"), needed=False),
        kinds.number("placing.minutes", _("From water to place"), unit="min", needed=False),
        kinds.number("placing.air_c", _("Air at its hottest or coldest"), unit="°C", needed=False),
        kinds.number("placing.concrete_c", _("Fresh concrete"), unit="°C", needed=False),
        Box(
            path="placing.weather_measures",
            label=_("Measures against heat or frost"),
            needed=False,
        ),
        Box(path="placing.rain", label=_("Rain may fall"), kind=Kind.CHECK, needed=False),
        Box(path="placing.rain_measures", label=_("Measures against rain"), needed=False),
    ),
)

PARTS: tuple[Part | Rows, ...] = (DURABILITY, PLACING)
