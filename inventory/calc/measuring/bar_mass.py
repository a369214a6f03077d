"""How far the mass of a metre of bar may lie from the table's."""

from estimates.standards.values import Profile, Value

GROUP = "bar_mass."


def tolerance(size_mm: int, *, profile: Profile) -> Value | None:
    """Find the tolerance of a bar size.

    Source: the profile's values under `bar_mass`, each with its own citation: `to_10` serves sizes up to
    10 mm, `above_16` those above every other.

    Args:
        size_mm: nominal size [mm].
        profile: standards profile of the firm.

    Returns:
        The tolerance [%], None when the profile has none.

    >>> from estimates.standards import load
    >>> [tolerance(size, profile=load.profile("is")).value for size in (8, 10, 12, 16, 20, 32)]
    [7.0, 7.0, 5.0, 5.0, 3.0, 3.0]
    """
    rows = {key.removeprefix(GROUP): value for key, value in profile.values.items() if key.startswith(GROUP)}
    bounded = sorted(
        (int(name.removeprefix("to_")), value) for name, value in rows.items() if name.startswith("to_")
    )
    for most, value in bounded:
        if size_mm <= most:
            return value
    return next((value for name, value in rows.items() if name.startswith("above_")), None)
