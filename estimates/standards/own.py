"""A profile with a firm's own figures in it, and which way a limit may be moved."""

import hashlib
import json
import re
from collections.abc import Mapping
from dataclasses import asdict, replace
from enum import StrEnum
from types import MappingProxyType
from typing import Final

from estimates.standards.values import Own, Profile, StandardsError, Value


class Sense(StrEnum):
    """What a value is: a least or a most, which may only be tightened; a plain figure; a fixed one."""

    LEAST = "least"
    MOST = "most"
    PLAIN = "plain"
    FIXED = "fixed"


_SENSES: Final = (
    (r"concrete\.cube_of\..*", Sense.FIXED),
    (r"exposure\.[^.]+\.cover_relief(_bar_max)?", Sense.MOST),
    (r"cover\.(small_bar_max|heavy_bar_min)", Sense.MOST),
    (r"air\.tolerance", Sense.MOST),
    (r"(cover|air|slab|fire)\..*", Sense.LEAST),
    (r"stone\.below_.*", Sense.LEAST),
    (r"concrete\.cement_for_stone_size\..*", Sense.LEAST),
    (r"curing\.days\..*", Sense.LEAST),
    (r"strip\..*", Sense.LEAST),
    (r"acceptance\..*_below", Sense.MOST),
    (r"acceptance\..*", Sense.LEAST),
    (r"placing\.(air\.cold|temperature\.least)", Sense.LEAST),
    (r"placing\..*", Sense.MOST),
    (r"storage\.bags\.(layer|aisles)", Sense.LEAST),
    (r"receiving\.(stone\.passing|bag\.least_weighed)", Sense.LEAST),
    (r"(permitted|receiving|shelf)\..*", Sense.MOST),
    (r".*[._](min|least)", Sense.LEAST),
    (r".*[._](max|most)", Sense.MOST),
)
"""The first pattern that fits a key says what its value is; a key that fits none is a plain figure."""


def sense(key: str) -> Sense:
    """Which way a value may be moved by a firm.

    Source: derived: what the casting checks do with the value.

    Args:
        key: key of the value, as "curing.days.opc".

    Returns:
        Least or most for a limit, plain for any other value, fixed for what is a name rather than a figure.

    >>> [str(sense(key)) for key in ("curing.days.opc", "concrete.cement_max", "pack.cement.bag")]
    ['least', 'most', 'plain']
    """
    return next((found for form, found in _SENSES if re.fullmatch(form, key)), Sense.PLAIN)


def tightens(key: str, *, value: float, base: float) -> bool:
    """Whether a firm may put a value in the place of the profile's.

    Source: derived: a limit may only be tightened, any other value may be changed.

    Args:
        key: key of the value.
        value: the firm's figure.
        base: the profile's own, in the same unit.

    Returns:
        Whether it may.

    >>> [tightens("concrete.cement_max", value=value, base=450) for value in (420, 480)]
    [True, False]
    """
    kind = sense(key)
    allowed = {Sense.LEAST: value >= base, Sense.MOST: value <= base, Sense.PLAIN: True, Sense.FIXED: False}
    return allowed[kind]


def with_own(profile: Profile, *, figures: Mapping[str, tuple[float, Own]]) -> Profile:
    """A profile with a firm's figures in it; the same figures always give the same digest.

    Source: derived: the profile's values, the firm's in their place.

    Args:
        profile: the profile as the data files have it.
        figures: by key, the firm's number in the profile's unit, and who set it, when and why.

    Returns:
        The profile; itself when there are no figures.

    Raises:
        StandardsError: the profile has no value under a key.

    >>> from estimates.standards import load
    >>> mine = Own(by="A. Person", on="2026-03-01", reason="dry site", replaces=7)
    >>> found = with_own(load.profile("is"), figures={"curing.days.opc": (10, mine)})
    >>> found.value("curing.days.opc").citation
    'our figure of 2026-03-01, A. Person: dry site; in place of 7 day, is-456-2000, cl. 13.5.1 (secondary)'
    """
    if not figures:
        return profile
    lost = sorted(set(figures) - set(profile.values))
    if lost:
        message = f"profile {profile.id} has no value {', '.join(lost)} for which the firm has a figure"
        raise StandardsError(message)
    changed = {key: _own(profile.value(key), figure=figure) for key, figure in sorted(figures.items())}
    plain = {key: [value.value, asdict(value.own) if value.own else None] for key, value in changed.items()}
    text = json.dumps([profile.digest, plain], sort_keys=True)
    return replace(
        profile,
        digest=hashlib.sha256(text.encode()).hexdigest(),
        values=MappingProxyType({**profile.values, **changed}),
    )


def _own(value: Value, *, figure: tuple[float, Own]) -> Value:
    number, own = figure
    return replace(value, value=number, own=own)
