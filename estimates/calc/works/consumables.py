"""What is used up with the formwork and over the slab: mould oil, nails, rain cover."""

from dataclasses import dataclass
from typing import Final

from estimates.calc.derivation import Input, Quantity, cited
from estimates.calc.sheet.works import Consumable
from estimates.calc.wording import gettext_noop
from estimates.standards.load import Profile, StandardsError


@dataclass(frozen=True, slots=True)
class _Kind:
    title: str
    unit: str
    material: str
    over: str


_KINDS: Final = {
    "mould_oil": _Kind(gettext_noop("Mould oil"), "L", "mould-oil", "formwork"),
    "nails": _Kind(gettext_noop("Nails"), "kg", "nails", "formwork"),
    "rain_cover": _Kind(gettext_noop("Rain cover"), "m²", "rain-cover", "slab"),
}


def methods(item: str, *, profile: Profile) -> tuple[str, ...]:
    """The named rates of a consumable.

    Source: `consumable.<item>` of the standards data.

    Args:
        item: "mould_oil", "nails" or "rain_cover".
        profile: the standards profile.

    Returns:
        Their ids, in alphabetical order.

    >>> from estimates.standards import load
    >>> methods("mould_oil", profile=load.profile("is"))
    ('coated_plywood', 'panel', 'steel', 'timber')
    """
    return tuple(sorted(profile.group(f"consumable.{item}")))


def quantity(wanted: Consumable, *, formwork: Input, slab: Input, profile: Profile) -> Quantity:
    """One consumable, by the area that it is spread or driven over.

    Source: the sheet's rate, else `consumable.<item>.<method>` of the standards data: a rate for each square
    metre, or the square metres that one litre covers.

    Args:
        wanted: the sheet's consumable.
        formwork: contact area [m²].
        slab: area of the slab in plan [m²].
        profile: the standards profile.

    Returns:
        `consumable.<item>` [L, kg or m²].

    Raises:
        StandardsError: the profile has no such named rate; the message names those that it has.

    >>> from estimates.standards import load
    >>> wanted = Consumable(item="mould_oil", method="steel")
    >>> area = Input(110, "m²", "by hand")
    >>> quantity(wanted, formwork=area, slab=area, profile=load.profile("is")).net
    2.0
    """
    kind = _KINDS[wanted.item]
    area = formwork if kind.over == "formwork" else slab
    if wanted.rate is not None:
        rate, method = Input(wanted.rate, f"{kind.unit}/m²", "design sheet: consumables"), "as stated"
    else:
        method = wanted.method or profile.choice(f"consumable_default.{wanted.item}").value
        if method not in methods(wanted.item, profile=profile):
            known = ", ".join(methods(wanted.item, profile=profile))
            message = f"{wanted.item} rate {method!r} is not known to profile {profile.id}; it has {known}"
            raise StandardsError(message)
        rate = cited(profile.value(f"consumable.{wanted.item}.{method}"))
    covers = rate.unit == f"m²/{kind.unit}" and kind.unit != "m²"
    return Quantity(
        key=f"consumable.{wanted.item}",
        member=gettext_noop("formwork") if kind.over == "formwork" else gettext_noop("top of the slab"),
        title=kind.title,
        unit=kind.unit,
        formula="area / coverage" if covers else "area * rate",
        inputs={"area": area, "coverage" if covers else "rate": rate},
        method=f"by area, {method}",
        source=rate.source,
        material=kind.material,
        kind=kind.material,
    )
