"""Props and planks on hire, as the formwork designer's drawing counts them: nothing is worked out here."""

from collections.abc import Iterator

from estimates.calc.derivation import Input, Quantity
from estimates.calc.sheet.falsework import Falsework
from estimates.calc.wording import gettext_noop


def quantities(falsework: Falsework | None) -> Iterator[Quantity]:
    """What the formwork designer's drawing counts, and the days on hire where they are known.

    Source: the formwork designer's drawing; never a spacing of our own.

    Args:
        falsework: the drawing with its counts, or None while there is none.

    Yields:
        `falsework.item.n` [no.], [no.·day] where the days are known; nothing without a drawing.
    """
    if falsework is None:
        return
    source = f"formwork drawing {falsework.drawing_number}, {falsework.designer}"
    for number, item in enumerate(falsework.items, start=1):
        inputs = {"number": Input(item.number, "no.", source)}
        if item.days is not None:
            inputs["days"] = Input(item.days, "day", source)
        yield Quantity(
            key=f"falsework.item.{number}",
            member=item.name,
            title=gettext_noop("On hire by the formwork designer's drawing"),
            unit="no." if item.days is None else "no.·day",
            formula=" * ".join(inputs),
            inputs=inputs,
            method="as the formwork designer counts them",
            source=source,
        )
