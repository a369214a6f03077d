"""What moist material would be if it were dry."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from inventory.calc import money

MOST_BULKING = 60
MOST_MOISTURE = 40
"""Per cent beyond which a reading is a mistake. Source: common practice; sands bulk by up to about 40 %."""


@dataclass(frozen=True, slots=True)
class Load:
    """A load as it lay when it came, and what it would have been dry, in the same stock unit."""

    moist: int
    dry: int


def dry_of_heap(heap: int, *, loads: Iterable[Load]) -> int:
    """Volume that a heap would have dry, by the last loads that make it up.

    Source: common practice: what lies in a heap is what came last. A load whose bulking was not measured
    counts as it lay, and so does what is older than every load.

    Args:
        heap: what lies there, in stock units, 0 or more.
        loads: the latest first.

    Returns:
        The dry volume in stock units, rounded half to even load by load.

    9 m³ lie there; the last load was 6 m³ that were 5 m³ dry, the one before was not measured:

    >>> dry_of_heap(9, loads=[Load(6, 5), Load(12, 12)])
    8
    """
    dry, left = 0, heap
    for load in loads:
        part = min(left, load.moist)
        if part <= 0:
            break
        dry += money.half_even(load.dry * part, denominator=load.moist)
        left -= part
    return dry + left


def moist_of_dry(dry: int, *, like: Load) -> int:
    """Volume that an amount asked for dry takes up as loads have lain.

    Source: derived: dry × moist ÷ dry of those loads, the inverse of `dry_volume`.

    Args:
        dry: stock units, 0 or more.
        like: loads that were measured, added up; dry above 0.

    Returns:
        Stock units as it lies, rounded half to even.

    Sand that bulks by 25 %, of which 4 m³ are asked for dry:

    >>> moist_of_dry(4, like=Load(10, 8))
    5
    """
    return money.half_even(dry * like.moist, denominator=like.dry)


def bulking_percent(*, moist: Fraction, flooded: Fraction) -> Fraction:
    """Bulking from the jar: how much higher the moist sand stood than the same sand under water.

    Source: IS 2386-3: (moist − flooded) ÷ flooded; with 200 ml of moist sand it is (200 ÷ y − 1).

    Args:
        moist: depth or volume of the loose moist sand, any unit.
        flooded: the same sand under water, same unit.

    Returns:
        The bulking [%], 0 or more.

    Raises:
        ValueError: the flooded reading is not above 0, or above the moist one.

    15 cm that sink to 12 cm (curioustab.com):

    >>> bulking_percent(moist=Fraction(15), flooded=Fraction(12))
    Fraction(25, 1)
    """
    if not 0 < flooded <= moist:
        raise ValueError(
            f"flooded reading {float(flooded):g} must be above 0 and at most the moist one, {float(moist):g}"
        )
    return (moist / flooded - 1) * 100


def dry_volume(moist: Fraction, *, bulking: Fraction) -> Fraction:
    """Volume that bulked sand would have dry (or flooded, which is the same).

    Source: derived: moist volume ÷ (1 + bulking); IS 2386-3 names the bulking on the dry volume.

    Args:
        moist: volume as it lies, any unit.
        bulking: bulking [%], from 0 to 60.

    Returns:
        The dry volume, same unit.

    Raises:
        ValueError: a bulking out of its bounds.

    Two volumes at 30 % hold 1.54 (theconstructioncivil.org):

    >>> round(float(dry_volume(Fraction(2), bulking=Fraction(30))), 2)
    1.54
    """
    if not 0 <= bulking <= MOST_BULKING:
        raise ValueError(f"bulking {float(bulking):g} % must lie between 0 and {MOST_BULKING} %")
    return moist / (1 + bulking / 100)


def dry_mass(moist: Fraction, *, moisture: Fraction) -> Fraction:
    """Mass that moist material has dry.

    Source: derived: moist mass ÷ (1 + moisture), the moisture named on the dry mass (IS 2386-3, ASTM C566).

    Args:
        moist: mass as it lies, any unit.
        moisture: total moisture of the dry mass [%], from 0 to 40.

    Returns:
        The dry mass, same unit.

    Raises:
        ValueError: a moisture out of its bounds.

    Sand of 1,369 lb dry at 6 % weighs 1,451 lb moist (ACI 211.1, first example):

    >>> round(float(dry_mass(Fraction(1451), moisture=Fraction(6))))
    1369
    """
    if not 0 <= moisture <= MOST_MOISTURE:
        raise ValueError(f"moisture {float(moisture):g} % must lie between 0 and {MOST_MOISTURE} %")
    return moist / (1 + moisture / 100)
