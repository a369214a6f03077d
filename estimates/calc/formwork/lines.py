"""What every line of formwork has in common."""

from estimates.calc.derivation import Input, Quantity


def area_line(
    name: str, *, source: str, member: str, title: str, formula: str, inputs: dict[str, Input]
) -> Quantity:
    """A line of formwork; only the total is bought.

    Source: derived.

    Args:
        name: the line's key after "formwork.".
        source: where the rule stands.
        member: what it belongs to.
        title: its words.
        formula: of the area [m²].
        inputs: of the formula.

    Returns:
        The quantity [m²].
    """
    bought = "formwork" if name == "total" else None
    return Quantity(
        key=f"formwork.{name}",
        member=member,
        title=title,
        unit="m²",
        formula=formula,
        inputs=inputs,
        method="contact area, net",
        source=source,
        material=bought,
        kind=bought,
    )
