"""Checks of what came: each a person's verdict or a reading against its limit, kept as it was said."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from fractions import Fraction

from django.utils.translation import gettext as _

from estimates.models import Material
from estimates.standards.values import Profile, Value
from inventory.calc import receiving
from inventory.calc.measuring import bar_mass, methods, weighing
from inventory.calc.receiving import Check, Verdict
from inventory.models import ReceiptCheck, ReceiptLine
from inventory.services import measures, texts
from projects.errors import Refused


class BadCheck(Refused):
    """A check that the material has not, or one without its verdict or reading."""

    code = "bad_check"


@dataclass(frozen=True)
class CheckAct:
    """One check: a `verdict` (pass, hold or reject) of what was seen, or a `reading` that its limit judges.

    A verdict that lets something wait or go back says why in its `remark`.
    """

    code: str
    verdict: str = ""
    reading: Decimal | None = None
    remark: str = ""


@dataclass(frozen=True)
class Stamp:
    """Who checked, and when."""

    person_id: int | None
    at: datetime


def rows(
    acts: Sequence[CheckAct], *, material: Material, profile: Callable[[], Profile], stamp: Stamp
) -> list[ReceiptCheck]:
    """Make the rows of checks, without their line; refused with `bad_check` when one cannot be."""
    known = {check.code: check for check in receiving.of_material(material.code)}
    found: list[ReceiptCheck] = []
    for act in acts:
        check = known.get(act.code)
        if check is None or act.code in {row.code for row in found}:
            message = _(
                "%(material)s has no check “%(code)s”, or it stands twice. Its checks are: %(known)s."
            )
            params = {"material": material.name, "code": act.code, "known": ", ".join(known)}
            raise BadCheck(message % params, field="checks")
        found.append(_row(act, check=check, profile=profile, stamp=stamp))
    return found


def of_sample(line: ReceiptLine, *, profile: Callable[[], Profile], stamp: Stamp) -> list[ReceiptCheck]:
    """Judge the mass of a metre where pieces were weighed: bars that are too light do not pass."""
    size = line.material.size_mm
    if line.method != methods.BARS.code or size is None:
        return []
    limit = bar_mass.tolerance(size, profile=profile())
    if limit is None:
        return []
    readings = {row["name"]: Fraction(row["value"]) for row in line.readings}
    found = weighing.per_metre(readings["pieces_mass"], length=readings["pieces_length"])
    off = weighing.deviation_percent(found * 1_000, nominal=Fraction(line.material.nominal_mg_per_mm or 0))
    verdict = receiving.beyond_limit(limit) if off < -Fraction(limit.value) else Verdict.PASS
    remark = _("%(off)s %% of the table's mass") % {"off": f"{float(off):+.2f}"}
    row = ReceiptCheck(
        code=receiving.MASS_PER_METRE.code,
        verdict=verdict.value,
        limit=_limit_words(limit),
        remark=remark,
        checked_at=stamp.at,
        checked_by_id=stamp.person_id,
    )
    return [row]


def why_held(rows: Sequence[ReceiptCheck]) -> str:
    """Say why a load with these checks has to wait; empty when all of them passed."""
    failed = [row for row in rows if row.verdict != Verdict.PASS]
    return "; ".join(f"{title(row.code)}: {row.remark or row.limit}" for row in failed)[:200]


def title(code: str) -> str:
    """Name a check in words."""
    every = (
        *receiving.CEMENT,
        *receiving.STEEL,
        *receiving.SAND,
        *receiving.STONE,
        *receiving.MIXED,
        *receiving.OTHER,
        receiving.MASS_PER_METRE,
    )
    return next((str(_(check.title)) for check in every if check.code == code), code)


def _row(act: CheckAct, *, check: Check, profile: Callable[[], Profile], stamp: Stamp) -> ReceiptCheck:
    remark = texts.fitting(act.remark, most=200, field="checks")
    row = ReceiptCheck(code=check.code, remark=remark, checked_at=stamp.at, checked_by_id=stamp.person_id)
    if not check.limit:
        row.verdict = _seen(act, check=check, remark=remark).value
        return row
    if act.reading is None or act.verdict:
        message = _("“%(title)s” is read as a figure in %(unit)s; give it, and no verdict.")
        raise BadCheck(message % {"title": _(check.title), "unit": check.unit}, field="checks")
    row.reading_thousandths = measures.thousandths(act.reading, field="checks")
    try:
        verdict, limit = receiving.judge(check, reading=act.reading, profile=profile())
    except ValueError as fault:
        message = _("“%(title)s”: %(fault)s. Read it again.")
        raise BadCheck(message % {"title": _(check.title), "fault": fault}, field="checks") from fault
    row.verdict, row.unit, row.limit = verdict.value, check.unit, _limit_words(limit)
    return row


def _seen(act: CheckAct, *, check: Check, remark: str) -> Verdict:
    if act.reading is not None or act.verdict not in set(Verdict):
        message = _("“%(title)s” is looked at: say pass, hold or reject, and no figure.")
        raise BadCheck(message % {"title": _(check.title)}, field="checks")
    if act.verdict != Verdict.PASS and not remark:
        message = _("“%(title)s” did not pass: say what was seen.")
        raise BadCheck(message % {"title": _(check.title)}, field="checks")
    return Verdict(act.verdict)


def _limit_words(limit: Value) -> str:
    return _("limit %(value)s %(unit)s, %(source)s") % {
        "value": f"{limit.value:g}",
        "unit": limit.unit,
        "source": limit.citation[:150],
    }
