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
                ("high_early", _("hardens early")),
                ("unknown", _("not known; counts as blended")),
            ),
        ),
        kinds.choice(
            "curing.method",
            _("Kept wet by"),
            choices=(
                ("ponding", _("ponded water")),
                ("wet_cover", _("wet cloth")),
                ("sheet", _("plastic sheet")),
                ("compound", _("curing compound")),
            ),
        ),
        Box(path="curing.hot_dry", label=_("Hot dry weather is expected"), kind=Kind.CHECK, needed=False),
        kinds.number(
            "curing.days", _("Days"), needed=False, hint=_("as the engineer states; empty for the profile's")
        ),
        kinds.choice(
            "curing.strength_gain",
            _("Gain of strength"),
            choices=(
                ("rapid", _("rapid")),
                ("medium", _("medium")),
                ("slow", _("slow")),
                ("very_slow", _("very slow")),
            ),
            needed=False,
            hint=_("where the days depend on it"),
        ),
        kinds.choice(
            "curing.temperature",
            _("Temperature of the surface"),
            choices=(
                ("5_10", _("5 to 10 °C")),
                ("10_15", _("10 to 15 °C")),
                ("15_25", _("15 to 25 °C")),
                ("over_25", _("over 25 °C")),
            ),
            needed=False,
            hint=_("where the days depend on it"),
        ),
        Box(
            path="curing.rule", label=_("Rule for the days"), needed=False, hint=_("empty for the profile's")
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
    ("fabric", _("Welded fabric")),
    ("binding-wire", _("Binding wire")),
    ("formwork", _("Formwork")),
    ("curing-water", _("Curing water")),
    ("curing-cover", _("Curing cover")),
    ("curing-compound", _("Curing compound")),
    ("ready-mixed", _("Ready-mixed concrete")),
    ("mould-oil", _("Mould oil")),
    ("nails", _("Nails")),
    ("rain-cover", _("Rain cover")),
    ("waterproofing", _("Waterproofing")),
    ("hire", _("Hire")),
    ("crew", _("Crew")),
    ("cover-block", _("Cover blocks")),
    ("coupler", _("Couplers")),
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

CONSUMABLES = Rows(
    path="consumables",
    title=_("Consumables"),
    hint=_("What is bought with the main materials, by the formwork's or the slab's area."),
    one=_("Consumable"),
    boxes=(
        kinds.choice(
            "item",
            _("Item"),
            choices=(
                ("mould_oil", _("mould oil")),
                ("nails", _("nails")),
                ("rain_cover", _("rain cover")),
            ),
        ),
        Box(path="method", label=_("Named rate"), needed=False, hint=_("as steel or timber, for oil")),
        kinds.number("rate", _("For one m²"), needed=False),
    ),
)

WATERPROOFING = Part(
    title=_("Surface waterproofing"),
    boxes=(
        Box(
            path="waterproofing.system",
            label=_("System"),
            needed=False,
            hint=_("as cement_slurry; empty for none"),
        ),
        kinds.number("waterproofing.coats", _("Coats"), needed=False),
        kinds.number("waterproofing.per_coat", _("One coat takes"), unit="kg/m²", needed=False),
    ),
)

TURN_UPS = Rows(
    path="waterproofing.turn_ups",
    title=_("Turn-ups"),
    hint=_("Edges count from 1, between the first and the second corner; edges and length empty: all round."),
    one=_("Turn-up"),
    boxes=(
        kinds.mm("height_mm", _("Height")),
        Box(path="edges", label=_("Edges"), kind=Kind.WHOLES, needed=False),
        kinds.mm("length_mm", _("Length beside them"), needed=False),
    ),
)

PLANT = Part(
    title=_("Plant on hire"),
    hint=_("Empty days follow the output norm."),
    boxes=(
        kinds.number("plant.mixers", _("Mixers"), needed=False),
        kinds.number("plant.mixer_days", _("Days of each mixer"), needed=False),
        kinds.number("plant.vibrators", _("Vibrators at work"), needed=False),
        kinds.number("plant.spare_vibrators", _("Spare vibrators"), needed=False),
        kinds.number("plant.vibrator_days", _("Days of each vibrator"), needed=False),
        Box(path="plant.norm", label=_("Output norm"), needed=False, hint=_("empty for the profile's")),
    ),
)

CREW = Part(
    title=_("Crew"),
    hint=_("Days of one person; empty days follow the output norm."),
    boxes=(
        Box(path="crew.norm", label=_("Output norm"), needed=False, hint=_("as analysis_of_rates")),
        kinds.number("crew.mason_days", _("Masons"), unit="d", needed=False),
        kinds.number("crew.labourer_days", _("Labourers"), unit="d", needed=False),
        kinds.number("crew.water_carrier_days", _("Water carriers"), unit="d", needed=False),
    ),
)

PARTS: tuple[Part | Rows, ...] = (CURING, CONSUMABLES, WATERPROOFING, TURN_UPS, PLANT, CREW)
