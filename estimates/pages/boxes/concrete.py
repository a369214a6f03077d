"""Boxes of the concrete: grade, exposure, mix, admixtures."""

from __future__ import annotations

from dataclasses import replace

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
                ("nominal_mass", _("nominal, by mass")),
                ("designed", _("designed by the engineer, in kg/m³")),
            ),
        ),
    ),
)

GAUGED = ("nominal_volume", "nominal_mass")
_PARTS_HINT = _("by volume, or by mass; empty when a row of the table by mass is named")

NOMINAL = Part(
    title=_("Nominal mix"),
    only=GAUGED,
    boxes=(
        *(
            replace(kinds.number(path, label, hint=_PARTS_HINT), needed_with="nominal_volume")
            for path, label in (
                ("mix.parts[0]", _("Parts of cement")),
                ("mix.parts[1]", _("Parts of sand")),
                ("mix.parts[2]", _("Parts of stone")),
            )
        ),
        replace(
            kinds.number("mix.water_cement", _("Water to cement, by mass")), needed_with="nominal_volume"
        ),
        kinds.number("mix.stone_split.20", _("Stone of 20 mm"), unit="%", needed=False),
        kinds.number("mix.stone_split.10", _("Stone of 10 mm"), unit="%", needed=False),
        kinds.choice(
            "mix.mixing",
            _("Mixed by"),
            choices=(("machine", _("machine")), ("hand", _("hand"))),
            needed=False,
        ),
    ),
)

BY_VOLUME = Part(
    title=_("Nominal mix by volume"),
    only=("nominal_volume",),
    boxes=(
        Box(
            path="mix.method",
            label=_("Named method"),
            needed=False,
            hint=_("parts into quantities; empty for the profile's own"),
        ),
    ),
)

BY_MASS = Part(
    title=_("Nominal mix by mass"),
    only=("nominal_mass",),
    boxes=(
        Box(
            path="mix.row",
            label=_("Row of the table"),
            needed=False,
            hint=_("in place of parts, as m20 or st4_s2"),
        ),
        kinds.number("mix.stone_to_sand", _("Stone to sand, by mass"), needed=False),
    ),
)

DENSITIES = Part(
    title=_("Densities as measured"),
    only=GAUGED,
    hint=_("In place of the profile's; the yield by absolute volumes rests on them."),
    boxes=(
        *(
            kinds.number(f"mix.{group}.{name}", label, unit="kg/m³", needed=False)
            for group, name, label in (
                ("bulk_kg_m3", "cement", _("Cement, loose")),
                ("bulk_kg_m3", "sand", _("Sand, loose")),
                ("bulk_kg_m3", "20", _("20 mm stone, loose")),
                ("bulk_kg_m3", "10", _("10 mm stone, loose")),
                ("particle_kg_m3", "cement", _("Particles of cement")),
                ("particle_kg_m3", "sand", _("Particles of sand")),
                ("particle_kg_m3", "20", _("Particles of 20 mm stone")),
                ("particle_kg_m3", "10", _("Particles of 10 mm stone")),
            )
        ),
        kinds.number("mix.air_percent", _("Air"), unit="%", needed=False),
    ),
)

DESIGNED = Part(
    title=_("Designed mix"),
    only=("designed",),
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
        kinds.choice(
            "mix.standing",
            _("Where the figures stand"),
            choices=(
                ("proportioned_not_trialled", _("proportioned, not yet trialled")),
                ("trialled", _("confirmed by trial mixes")),
            ),
            needed=False,
            hint=_("empty: as the engineer states them"),
        ),
        Box(path="mix.proportioned_by", label=_("Proportioned by"), needed=False),
    ),
)

ADMIXTURES = Rows(
    path="mix.admixtures",
    title=_("Admixtures"),
    hint=_("One dose each: per bag (nominal mix), by mass of cement, or per m³; a mass needs the density."),
    one=_("Admixture"),
    boxes=(
        kinds.choice(
            "material",
            _("Material"),
            choices=(("waterproofer", _("waterproofing compound")), ("plasticiser", _("plasticiser"))),
        ),
        kinds.number("dose_ml_per_bag", _("Dose per bag"), unit="ml", needed=False),
        kinds.number("bag_kg", _("Bag"), unit="kg", needed=False),
        kinds.number("dose_percent", _("By mass of cement"), unit="%", needed=False),
        kinds.number("dose_kg_m3", _("Dose"), unit="kg/m³", needed=False),
        kinds.number("density_kg_l", _("Density"), unit="kg/L", needed=False),
    ),
)

SUPPLY = Part(
    title=_("Supply"),
    hint=_("The bill buys the constituents, or ready-mixed concrete in their place."),
    boxes=(
        kinds.choice(
            "supply.kind",
            _("Concrete is"),
            choices=(("site_mixed", _("mixed on site")), ("ready_mixed", _("bought ready-mixed"))),
            needed=False,
        ),
        kinds.number("supply.truck_m3", _("One truck carries"), unit="m³", needed=False),
    ),
)

PARTS: tuple[Part | Rows, ...] = (
    CONCRETE,
    NOMINAL,
    BY_VOLUME,
    BY_MASS,
    DENSITIES,
    DESIGNED,
    ADMIXTURES,
    SUPPLY,
)
