"""What a casting check finds, and how grave it may be."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import Any, Final

from estimates.calc.checks.texts import TEXTS
from estimates.standards.load import Provenance, Value

CUSTOM: Final = f"site-practice ({Provenance.COMMON_PRACTICE})"
"""Source of a finding that rests on no document."""


class Severity(StrEnum):
    """What a finding asks for: a written reason, a look, or nothing."""

    STOP = "stop"
    WARN = "warn"
    NOTE = "note"


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """What a check found: `subject` is the place in the sheet, `source` the clause or custom of the limit.

    `template` and `params` make the sentence, so that an interface can translate it.
    """

    code: str
    severity: Severity
    subject: str
    template: str
    params: Mapping[str, str] = field(default_factory=dict)
    value: float | None = None
    limit: float | None = None
    unit: str = ""
    source: str = CUSTOM

    @property
    def text(self) -> str:
        """The sentence in plain English."""
        return self.template % self.params

    @property
    def stops(self) -> bool:
        """Whether the bill needs a written reason that quotes the engineer."""
        return self.severity is Severity.STOP

    def as_dict(self) -> dict[str, Any]:
        """The finding as plain data, for JSON."""
        keys = ("code", "subject", "text", "value", "limit", "unit", "source")
        return {"severity": str(self.severity)} | {key: getattr(self, key) for key in keys}


def restated(limit: Value, *, value: float) -> Value:
    """A limit whose number the engineer has stated in the sheet.

    Source: the sheet.

    Args:
        limit: the limit that is replaced.
        value: the engineer's number, in the limit's unit.

    Returns:
        The limit with that number.
    """
    return replace(limit, value=value, note="as the sheet states it")


def against(limit: Value, *, code: str, subject: str, value: float, params: Mapping[str, object]) -> Finding:
    """A finding against a limit: it stops a bill only when the limit was read, quoted or derived.

    Source: the limit's own citation; the rule on memory and common practice is the project's.

    Args:
        limit: the limit.
        code: code of the check.
        subject: place in the sheet, as "cover_mm".
        value: what the sheet has, in the limit's unit.
        params: further words of the sentence.

    Returns:
        The finding.

    >>> from estimates.standards import load
    >>> least = load.profile("is").value("slab.thickness_min")
    >>> against(least, code="thickness.least", subject="thickness_mm", value=110, params={}).text
    'A slab of 110 mm is thinner than 120 mm, the least on most sites. Ask the engineer.'
    """
    severity = Severity.STOP if limit.provenance.may_stop else Severity.WARN
    words = {"value": f"{value:.4g}", "limit": f"{limit.value:.4g}", "unit": limit.unit}
    return Finding(
        code=code,
        severity=severity,
        subject=subject,
        template=TEXTS[code],
        params=words | {name: str(word) for name, word in params.items()},
        value=value,
        limit=limit.value,
        unit=limit.unit,
        source=limit.citation,
    )


def note(
    code: str, *, subject: str, severity: Severity, params: Mapping[str, object], source: str = CUSTOM
) -> Finding:
    """A finding without a limit of the profile.

    Source: common practice, unless `source` says otherwise.

    Args:
        code: code of the check.
        subject: place in the sheet, as "openings[0]".
        severity: how grave it is; never a stop.
        params: the words of the sentence.
        source: what it rests on.

    Returns:
        The finding.

    Raises:
        ValueError: a stop, which only a limit of the profile may give.

    >>> note("drawing.date", subject="drawing.dated", severity=Severity.WARN, params={}).severity
    <Severity.WARN: 'warn'>
    """
    if severity is Severity.STOP:
        raise ValueError("only a limit of the profile may stop a bill")
    words = {name: str(word) for name, word in params.items()}
    return Finding(
        code=code, severity=severity, subject=subject, template=TEXTS[code], params=words, source=source
    )
