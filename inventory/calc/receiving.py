"""What is looked at when a material comes, and what a reading says: pass, hold or reject."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Final

from estimates.calc.wording import gettext_noop
from estimates.standards.values import Profile, Value


class Verdict(StrEnum):
    """What a check says: take it, let it wait, or let it go back."""

    PASS = "pass"  # noqa: S105 - a verdict, no password
    HOLD = "hold"
    REJECT = "reject"


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One check of a material.

    One without a `limit` is looked at, and a person gives the verdict; one with it is read as a figure in the
    `unit`, which the profile's value under that key bounds above, or below where it is the `least`.
    """

    code: str
    title: str
    limit: str = ""
    unit: str = ""
    least: bool = False


def _seen(code: str, title: str) -> Check:
    return Check(code=code, title=title)


CEMENT: Final = (
    _seen("mark", gettext_noop("Type, grade and standard mark as ordered")),
    _seen("bags", gettext_noop("Bags whole, stitched by machine, dry and without lumps")),
    _seen("certificate", gettext_noop("Maker's test certificate is here")),
)
STEEL: Final = (
    _seen("certificate", gettext_noop("Certificate agrees with the heat and grade on the tag")),
    _seen("rust", gettext_noop("No scaling rust, ribs sharp; a light film passes")),
    _seen("size", gettext_noop("Sizes and lengths as ordered, bars straight")),
)
SAND: Final = (
    Check(
        code="silt", title=gettext_noop("Silt in the settling jar"), limit="receiving.silt.volume", unit="%"
    ),
    _seen("clean", gettext_noop("No clay lumps, roots, shells or foul smell")),
)
STONE: Final = (
    _seen("size", gettext_noop("Nominal size as ordered, angular and not flaky")),
    Check(
        code="passing",
        title=gettext_noop("Passes the sieve of its nominal size"),
        limit="receiving.stone.passing",
        unit="%",
        least=True,
    ),
    Check(code="flakiness", title=gettext_noop("Flakiness"), limit="receiving.flakiness", unit="%"),
    _seen("clean", gettext_noop("Free of mud and dust")),
)
MIXED: Final = (
    _seen("ticket", gettext_noop("Mix, strength and stone on the ticket as ordered")),
    _seen("flow", gettext_noop("Slump as ordered, no water added at the truck")),
)
OTHER: Final = (_seen("condition", gettext_noop("As ordered, whole and usable")),)
_BY_KIND: Final = {"cement": CEMENT, "steel": STEEL, "sand": SAND, "stone": STONE, "ready": MIXED}

MASS_PER_METRE: Final = Check(
    code="mass_per_metre",
    title=gettext_noop("Mass of a metre, against the table"),
    limit="bar_mass",
    unit="%",
)
"""Not asked for: it follows from the pieces weighed."""

MOST_READING: Final = Decimal(100)


def of_material(code: str) -> tuple[Check, ...]:
    """List the checks of a material.

    Source: common practice, as buyers' guides and site texts list them for each kind.

    Args:
        code: the material's code, such as sand or steel-12.

    Returns:
        One check at least.

    >>> [check.code for check in of_material("stone-20")]
    ['size', 'passing', 'flakiness', 'clean']
    """
    return _BY_KIND.get(code.split("-", maxsplit=1)[0], OTHER)


def judge(check: Check, *, reading: Decimal, profile: Profile) -> tuple[Verdict, Value]:
    """Hold a reading against its limit.

    Source: derived: beyond a limit that was read in a document, or in a page that quotes one, the load goes
    back; beyond one from memory or custom it waits for a person.

    Args:
        check: a check with a limit.
        reading: the figure, in the check's unit, from 0 to 100 %.
        profile: the firm's figures.

    Returns:
        The verdict and the limit.

    Raises:
        ValueError: a reading out of its bounds.

    Sand with 6 % and with 9 % of silt by volume, where 8 % is the limit of the jar:

    >>> from estimates.standards import load
    >>> jar = of_material("sand")[0]
    >>> [str(judge(jar, reading=Decimal(r), profile=load.profile("is"))[0]) for r in (6, 8, 9)]
    ['pass', 'pass', 'reject']
    """
    if not 0 <= reading <= MOST_READING:
        raise ValueError(f"{reading} {check.unit} must lie between 0 and {MOST_READING}")
    limit = profile.value(check.limit)
    bound = Decimal(str(limit.value))
    beyond = reading < bound if check.least else reading > bound
    return (beyond_limit(limit) if beyond else Verdict.PASS), limit


def beyond_limit(limit: Value) -> Verdict:
    """Say what becomes of a load beyond a limit.

    Source: derived: as the casting checks take provenance: memory and custom warn, documents stop.

    Args:
        limit: the limit that was passed.

    Returns:
        Reject or hold.

    >>> from estimates.standards import load
    >>> str(beyond_limit(load.profile("aci").value("bar_mass.above_0")))
    'hold'
    """
    return Verdict.REJECT if limit.own is not None or limit.provenance.may_stop else Verdict.HOLD
