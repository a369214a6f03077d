"""Gauge boxes: how many, how large inside, so that full boxes struck level make the batch."""

import math
from dataclasses import dataclass

from estimates.standards.load import Profile


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A box for one heap: `count` full ones for each bag of cement, its inside in whole millimetres."""

    name: str
    count: int
    litres: float
    length_mm: int
    width_mm: int
    height_mm: int
    source: str

    @property
    def holds(self) -> float:
        """What the box holds with its height in whole millimetres [L]."""
        return self.length_mm * self.width_mm * self.height_mm / 1e6

    @property
    def off_percent(self) -> float:
        """How far that lies from what it should hold [%]."""
        return (self.holds / self.litres - 1) * 100


def fitted(name: str, *, litres: float, profile: Profile) -> Box:
    """The box that is filled a whole number of times for each bag.

    Source: derived: litres for a bag over as few boxes as two people can lift (`gauge_box.largest`), on the
    base of a usual box (`gauge_box.length` and `.width` of the standards data); the height follows.

    Args:
        name: the heap, as "sand".
        litres: what goes to one bag of cement [L].
        profile: the standards profile.

    Returns:
        The box.

    Raises:
        ValueError: there is nothing to measure.

    Thirty-five litres on the usual base make the box of 333 by 300 by 350 mm:

    >>> from estimates.standards import load
    >>> box = fitted("sand", litres=35.0, profile=load.profile("is"))
    >>> box.count, box.length_mm, box.width_mm, box.height_mm
    (1, 333, 300, 350)
    """
    if not litres > 0:
        message = f"{name} has {litres:g} L for a bag; a box must hold more than 0"
        raise ValueError(message)
    length, width = profile.value("gauge_box.length"), profile.value("gauge_box.width")
    most = profile.number("gauge_box.largest")
    count = math.ceil(litres / most)
    each = litres / count
    height = round(each * 1e6 / (length.value * width.value))
    return Box(
        name=name,
        count=count,
        litres=each,
        length_mm=round(length.value),
        width_mm=round(width.value),
        height_mm=height,
        source=length.citation,
    )
