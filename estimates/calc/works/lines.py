"""The lines of the works beside concrete and steel that a sheet asks for."""

from collections.abc import Iterator

from estimates.calc.derivation import Input, Quantity
from estimates.calc.sheet.parts import DesignSheet
from estimates.calc.works import consumables, curing, plant, waterproofing
from estimates.standards.load import Profile


def quantities(
    sheet: DesignSheet, *, concrete: Input, formwork: Input, slab: Input, profile: Profile
) -> Iterator[Quantity]:
    """Consumables, curing, waterproofing, plant and crew, in the order of the work.

    Source: each line's own; a line that the sheet does not ask for is not there, but for the curing.

    Args:
        sheet: the design sheet.
        concrete: net concrete [m³].
        formwork: contact area [m²].
        slab: area of the slab in plan [m²].
        profile: the standards profile.

    Yields:
        The lines.

    Raises:
        StandardsError: a named rate, rule, system or norm that the profile lacks.
    """
    for wanted in sheet.consumables:
        yield consumables.quantity(wanted, formwork=formwork, slab=slab, profile=profile)
    yield from curing.quantities(slab, curing=sheet.curing, profile=profile)
    if sheet.waterproofing is not None:
        yield from waterproofing.quantities(
            sheet.waterproofing, slab=slab, outline=sheet.outline, profile=profile
        )
    if sheet.plant is not None:
        on_site = sheet.supply is None or sheet.supply.kind == "site_mixed"
        yield from plant.machines(sheet.plant, concrete=concrete, on_site=on_site, profile=profile)
    if sheet.crew is not None:
        yield from plant.people(sheet.crew, concrete=concrete, profile=profile)
