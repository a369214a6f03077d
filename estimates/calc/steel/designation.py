"""What a bar size is called: "#5" where the trade names sizes by number, else its millimetres."""

from estimates.standards.values import Profile

_SIGN = "#"


def named(text: str) -> bool:
    """Whether a text names a size by number, as "#5".

    Source: ASTM A615: inch-pound designation numbers.

    Args:
        text: what was typed or read.

    Returns:
        True for a number sign followed by digits.

    >>> named("#5"), named("16"), named("T16")
    (True, False, False)
    """
    sign, digits = text.strip()[:1], text.strip()[1:].strip()
    return sign == _SIGN and digits.isascii() and digits.isdigit()


def size_of(text: str, *, profile: Profile) -> int | None:
    """The size that a name stands for in a profile's bar table.

    Source: the profile's bar table: "#5" of ASTM A615 is its metric number 16.

    Args:
        text: the name, as "#5".
        profile: the standards profile.

    Returns:
        The size as the design sheet keeps it [mm]; None where the table has no such name.

    >>> from estimates.standards import load
    >>> size_of("#5", profile=load.profile("aci")), size_of("#5", profile=load.profile("is"))
    (16, None)
    """
    name = text.replace(" ", "")
    return next((size for size, bar in profile.bars.items() if bar.name and bar.name == name), None)


def names(profile: Profile) -> tuple[str, ...]:
    """The names of a profile's sizes, for messages.

    Source: the profile's bar table.

    Args:
        profile: the standards profile.

    Returns:
        The names from small to large, as "#3" or "8 mm".

    >>> from estimates.standards import load
    >>> names(load.profile("aci"))[:2]
    ('#3', '#4')
    """
    return tuple(bar.designation for bar in profile.bars.values())
