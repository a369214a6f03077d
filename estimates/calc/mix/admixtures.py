"""Admixtures: a dose per bag, by mass of cement, or per cubic metre of concrete."""

from typing import Final

from estimates.calc.derivation import Input, Quantity, carried
from estimates.calc.sheet.mix import Admixture, DesignedAdmixture
from estimates.calc.wording import gettext_noop

_TITLES: Final = {
    "waterproofer": gettext_noop("Integral waterproofing compound"),
    "plasticiser": gettext_noop("Plasticiser"),
}


def quantity(
    item: Admixture | DesignedAdmixture, *, cement: Quantity, concrete: Input, method: str
) -> Quantity:
    """The volume of an admixture.

    Source: derived: the drawing's dose, per bag of cement, by mass of cement, or per cubic metre.

    Args:
        item: the admixture with its one dose.
        cement: the line of the cement [kg].
        concrete: net concrete [m³].
        method: the method of the mix that it goes into.

    Returns:
        `admixture.<material>` [L].

    >>> from estimates.calc.mix import lines
    >>> bags = lines.cement("400", inputs={}, made=lines.Made("by hand", ""))
    >>> dose = Admixture(material="waterproofer", dose_percent=2.0, density_kg_l=1.0)
    >>> quantity(dose, cement=bags, concrete=Input(1, "m³", "by hand"), method="by hand").net
    8.0
    """
    formula, inputs = _dose(item, cement=cement, concrete=concrete)
    return Quantity(
        key=f"admixture.{item.material}",
        member=gettext_noop("concrete"),
        title=_TITLES[item.material],
        unit="L",
        formula=formula,
        inputs=inputs,
        material=item.material,
        kind="admixture",
        method=method,
        source="drawing: mix",
    )


def _dose(
    item: Admixture | DesignedAdmixture, *, cement: Quantity, concrete: Input
) -> tuple[str, dict[str, Input]]:
    if isinstance(item, Admixture) and item.dose_ml_per_bag is not None:
        return "cement / bag * dose / 1000", {
            "cement": carried(cement),
            "bag": Input(item.bag_kg, "kg", "drawing: bag that the dose is stated for"),
            "dose": Input(item.dose_ml_per_bag, "ml", "drawing: dose per bag"),
        }
    density = Input(item.density_kg_l or 1.0, "kg/L", "drawing: density of the admixture")
    if item.dose_percent is not None:
        dose = Input(item.dose_percent, "%", "drawing: dose by mass of cement")
        return "cement * dose / 100 / density", {
            "cement": carried(cement),
            "dose": dose,
            "density": density,
        }
    dose = Input(item.dose_kg_m3 or 0.0, "kg/m³", "drawing: dose")
    return "concrete * dose / density", {"concrete": concrete, "dose": dose, "density": density}
