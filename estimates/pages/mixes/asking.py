"""The forms of mix proportioning: one for IS 10262, one for ACI 211.1."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from estimates.calc.batch.moisture import State
from estimates.calc.proportioning import aci_211, is_10262
from estimates.pages.mixes.fields import NumberField
from projects.pages.forms import SheetForm


def _percent(label: Any, *, most: float = 60, **more: Any) -> NumberField:
    return NumberField(label=label, unit="%", least=more.pop("least", 0), most=most, required=False, **more)


def _density(label: Any) -> NumberField:
    return NumberField(label=label, least=0.5, most=8)


class MoistureForm(SheetForm):
    """What both methods ask of the heaps."""

    sand_moisture = _percent(_("Total moisture of the sand"), most=25)
    sand_absorption = _percent(_("Absorption of the sand"), most=15)
    stone_moisture = _percent(_("Total moisture of the stone"), most=15)
    stone_absorption = _percent(_("Absorption of the stone"), most=15)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        # The heaps come last: most mixes are worked out for surface-dry ones.
        self.order_fields([name for name in self.fields if name.split("_")[-1] not in HEAP])

    def heaps(self) -> dict[str, Any]:
        """The two heaps as they lie; without moisture the masses stay as they are."""
        typed = self.cleaned_data
        return {
            name: State(
                moisture_percent=typed[f"{name}_moisture"],
                absorption_percent=typed[f"{name}_absorption"] or 0.0,
            )
            for name in ("sand", "stone")
        }


class IndianForm(MoistureForm):
    """IS 10262 in its two editions."""

    USUAL = {
        "edition": "2019", "strength_mpa": "25", "exposure": "moderate", "water_cement": "0.45",
        "stone_mm": "20", "shape": "angular", "zone": "2", "slump_mm": "75", "cement_sg": "3.15",
        "sand_sg": "2.65", "stone_sg": "2.7", "rounding": "none",
    }  # fmt: skip

    edition = forms.ChoiceField(label=_("Edition"), choices=(("2019", "2019"), ("2009", "2009")))
    strength_mpa = NumberField(label=_("Characteristic strength"), unit="MPa", least=10, most=100)
    deviation_mpa = NumberField(
        label=_("Standard deviation of the site"), unit="MPa", least=1, most=12, required=False
    )
    exposure = forms.ChoiceField(
        label=_("Exposure"),
        choices=(
            ("mild", _("mild")),
            ("moderate", _("moderate")),
            ("severe", _("severe")),
            ("very_severe", _("very severe")),
            ("extreme", _("extreme")),
        ),
    )
    water_cement = NumberField(
        label=_("Water to binder for the strength"),
        least=0.25,
        most=0.8,
        help_text=_("Read off the curve of the cement, or known from trials; the exposure's most is kept."),
    )
    stone_mm = forms.ChoiceField(
        label=_("Largest stone"), choices=(("10", "10 mm"), ("20", "20 mm"), ("40", "40 mm"))
    )
    shape = forms.ChoiceField(
        label=_("Shape of the stone"),
        choices=(
            ("angular", _("angular")),
            ("sub_angular", _("sub-angular")),
            ("gravel", _("gravel with crushed particles")),
            ("rounded", _("rounded gravel")),
        ),
    )
    zone = forms.ChoiceField(
        label=_("Zone of the sand"), choices=(("1", "I"), ("2", "II"), ("3", "III"), ("4", "IV"))
    )
    slump_mm = NumberField(label=_("Slump"), unit="mm", least=25, most=250)
    cement_sg = _density(_("Relative density of cement"))
    sand_sg = _density(_("Relative density of sand"))
    stone_sg = _density(_("Relative density of stone"))
    water_reduction_percent = _percent(_("Water saved by the admixture"), most=40)
    admixture_percent = _percent(_("Admixture by mass of binder"), most=5)
    admixture_sg = NumberField(
        label=_("Relative density of the admixture"), least=0.5, most=2, required=False
    )
    pump_reduction_percent = _percent(_("Less stone for the pump"), most=10)
    ash_percent = _percent(_("Fly ash in the binder"), most=60)
    ash_sg = NumberField(label=_("Relative density of fly ash"), least=1.5, most=3, required=False)
    binder_increase_percent = _percent(_("More binder for the fly ash"), most=30)
    rounding = forms.ChoiceField(
        label=_("Rounding"),
        choices=(("none", _("none")), ("printed", _("as the standard's examples print"))),
    )

    def asked(self) -> is_10262.Asked:
        """The inputs of the method."""
        typed = {name: value for name, value in self.cleaned_data.items() if value is not None}
        heaps = self.heaps()
        given = {name: value for name, value in typed.items() if name.split("_")[-1] not in HEAP}
        given |= {"stone_mm": int(typed["stone_mm"]), "zone": int(typed["zone"])}
        return is_10262.Asked(**given, **heaps)


class AmericanForm(MoistureForm):
    """ACI 211.1 in pounds or kilograms."""

    USUAL = {
        "units": "us", "method": "absolute_volume", "average_strength": "4000", "slump_mm": "75_100",
        "stone_mm": "19", "exposure": "none", "fineness_modulus": "2.7", "dry_rodded": "100",
        "cement_sg": "3.15", "sand_sg": "2.65", "stone_sg": "2.65",
    }  # fmt: skip

    units = forms.ChoiceField(
        label=_("Tables"),
        choices=(("us", _("pounds, psi, lb/ft³")), ("si", _("kilograms, MPa, kg/m³"))),
    )
    method = forms.ChoiceField(
        label=_("Sand by"),
        choices=(("absolute_volume", _("absolute volume")), ("mass", _("estimated mass"))),
    )
    average_strength = NumberField(
        label=_("Average strength asked for"),
        least=1,
        most=10_000,
        help_text=_("psi or MPa, with the margin over the specified strength."),
    )
    slump_mm = forms.ChoiceField(
        label=_("Slump"),
        choices=(
            ("25_50", _("25 to 50 mm (1 to 2 in.)")),
            ("75_100", _("75 to 100 mm (3 to 4 in.)")),
            ("150_175", _("150 to 175 mm (6 to 7 in.)")),
        ),
    )
    stone_mm = forms.ChoiceField(
        label=_("Largest stone"),
        choices=(
            ("9_5", _("9.5 mm (3/8 in.)")),
            ("12_5", _("12.5 mm (1/2 in.)")),
            ("19", _("19 mm (3/4 in.)")),
            ("25", _("25 mm (1 in.)")),
            ("37_5", _("37.5 mm (1 1/2 in.)")),
        ),
    )
    exposure = forms.ChoiceField(
        label=_("Entrained air for exposure"),
        choices=(
            ("none", _("none entrained")),
            ("mild", _("mild")),
            ("moderate", _("moderate")),
            ("severe", _("severe")),
        ),
    )
    fineness_modulus = NumberField(label=_("Fineness modulus of the sand"), least=2.4, most=3)
    dry_rodded = NumberField(
        label=_("Dry-rodded stone"), least=50, most=2_500, help_text=_("lb/ft³ or kg/m³.")
    )
    cement_sg = _density(_("Relative density of cement"))
    sand_sg = _density(_("Relative density of sand"))
    stone_sg = _density(_("Relative density of stone"))
    water_cement = NumberField(
        label=_("Water to cement, in place of the table's"), least=0.25, most=1, required=False
    )
    water_cement_most = NumberField(
        label=_("Most water to cement for the exposure"), least=0.25, most=1, required=False
    )
    cement_least = NumberField(label=_("Least cement"), least=0, most=1_500, required=False)

    def asked(self) -> aci_211.Asked:
        """The inputs of the method."""
        typed = {name: value for name, value in self.cleaned_data.items() if value is not None}
        given = {name: value for name, value in typed.items() if name.split("_")[-1] not in HEAP}
        return aci_211.Asked(**given, **self.heaps())


HEAP = frozenset({"moisture", "absorption"})
"""How the names of the heaps' boxes end."""

FORMS: dict[str, type[IndianForm] | type[AmericanForm]] = {"is_10262": IndianForm, "aci_211": AmericanForm}
