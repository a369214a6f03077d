"""Boxes of the concrete: grade, exposure, mix, admixtures."""

from __future__ import annotations

from django.utils.translation import gettext_lazy as _

from estimates.calc.sheet import grades
from estimates.pages.boxes import kinds
from estimates.pages.boxes.kinds import Box, Part, Rows

CONCRETE = Part(
    title=_("Concrete"),
    boxes=(
        Box(path="grade", label=_("Concrete grade"), hint=_("for example M20, C25/30 or 4000 psi")),
        Box(path="steel_grade", label=_("Steel grade"), hint=_("for example Fe500, B500B or Grade 60")),
        kinds.choice(
            "exposure",
            _("Exposure"),
            choices=(
                ("mild", _("mild")),
                ("moderate", _("moderate")),
                ("severe", _("severe")),
                ("very_severe", _("very severe")),
                ("extreme", _("extreme")),
                *((name, name) for known in ("en", "aci") for name in grades.EXPOSURES[known]),
            ),
            hint=_("in the classes of the standards chosen"),
        ),
        kinds.choice(
            "mix.kind",
            _("Mix"),
            choices=(
                ("nominal_volume", _("nominal, by volume")),
                ("designed", _("designed by the engineer, in kg/m³")),
            ),
        ),
    ),
)

NOMINAL = Part(
    title=_("Nominal mix"),
    only="nominal_volume",
    boxes=(
        kinds.number("mix.parts[0]", _("Parts of cement")),
        kinds.number("mix.parts[1]", _("Parts of sand")),
        kinds.number("mix.parts[2]", _("Parts of stone")),
        kinds.number("mix.water_cement", _("Water to cement, by mass")),
        kinds.number("mix.stone_split.20", _("Stone of 20 mm"), unit="%", needed=False),
        kinds.number("mix.stone_split.10", _("Stone of 10 mm"), unit="%", needed=False),
        kinds.choice(
            "mix.mixing",
            _("Mixed by"),
            choices=(("machine", _("machine")), ("hand", _("hand"))),
            needed=False,
        ),
        Box(
            path="mix.method",
            label=_("Named method"),
            needed=False,
            hint=_("parts into quantities; empty for the profile's own"),
        ),
    ),
)

DESIGNED = Part(
    title=_("Designed mix"),
    only="designed",
    hint=_("Per cubic metre of concrete, aggregates saturated and surface-dry."),
    boxes=(
        kinds.number("mix.cement_kg_m3", _("Cement"), unit="kg/m³"),
        kinds.number("mix.water_kg_m3", _("Free water"), unit="kg/m³"),
        kinds.number("mix.sand_kg_m3", _("Sand"), unit="kg/m³"),
        kinds.number("mix.stone_kg_m3.20", _("Stone of 20 mm"), unit="kg/m³", needed=False),
        kinds.number("mix.stone_kg_m3.10", _("Stone of 10 mm"), unit="kg/m³", needed=False),
        kinds.number("mix.sand_bulk_kg_m3", _("Bulk density of sand"), unit="kg/m³"),
        kinds.number("mix.stone_bulk_kg_m3.20", _("Bulk density of 20 mm stone"), unit="kg/m³", needed=False),
        kinds.number("mix.stone_bulk_kg_m3.10", _("Bulk density of 10 mm stone"), unit="kg/m³", needed=False),
    ),
)

ADMIXTURES = Rows(
    path="mix.admixtures",
    title=_("Admixtures"),
    hint=_("Nominal mix: dose per bag. Designed mix: dose per cubic metre and density."),
    one=_("Admixture"),
    boxes=(
        kinds.choice(
            "material",
            _("Material"),
            choices=(("waterproofer", _("waterproofing compound")), ("plasticiser", _("plasticiser"))),
        ),
        kinds.number("dose_ml_per_bag", _("Dose per bag"), unit="ml", needed=False),
        kinds.number("bag_kg", _("Bag"), unit="kg", needed=False),
        kinds.number("dose_kg_m3", _("Dose"), unit="kg/m³", needed=False),
        kinds.number("density_kg_l", _("Density"), unit="kg/L", needed=False),
    ),
)

PARTS: tuple[Part | Rows, ...] = (CONCRETE, NOMINAL, DESIGNED, ADMIXTURES)
