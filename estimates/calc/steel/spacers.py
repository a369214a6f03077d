"""Cover blocks and couplers: pieces that go with the bars, by number."""

import math
from collections.abc import Iterator

from estimates.calc.derivation import Input, Quantity, cited
from estimates.calc.sheet.parts import DesignSheet
from estimates.calc.steel.schedule import Schedule
from estimates.calc.wording import gettext_noop
from estimates.standards.load import Profile

_FROM_SHEET = "design sheet, cover blocks"


def cover_blocks(sheet: DesignSheet, *, slab: Input, profile: Profile) -> Iterator[Quantity]:
    """Cover blocks under the slab's bars, and in sets along the beams.

    Source: the sheet's rate, else `supports.block` of the standards data.

    Args:
        sheet: the design sheet; without cover blocks in it there is no line.
        slab: area of the slab in plan [m²].
        profile: the standards profile.

    Yields:
        `spacer.slab` and, with beams, `spacer.beam` [no.].
    """
    wanted = None if sheet.supports is None else sheet.supports.cover_blocks
    if wanted is None:
        return
    if wanted.per_m2 is not None:
        name, rate = "per_m2", Input(wanted.per_m2, "1/m²", _FROM_SHEET)
        formula = "ceil(area * per_m2 - 0.000001)"
    else:
        name, rate = "apart", cited(profile.value("supports.block.spacing"))
        formula = "ceil(area / (apart / 1000) ** 2 - 0.000001)"
    yield _line(
        "spacer.slab",
        title=gettext_noop("Cover blocks of the slab"),
        formula=formula,
        inputs={"area": slab, name: rate},
        method="by area",
        source=rate.source,
    )
    if sheet.beams:
        yield _beams(sheet, spacing_mm=wanted.beam_spacing_mm, profile=profile)


def couplers(schedule: Schedule, *, profile: Profile) -> Iterator[Quantity]:
    """Couplers by size.

    Source: the engineer's answers: so many in every bar longer than stock.

    Args:
        schedule: the bar schedule worked out.
        profile: the standards profile.

    Yields:
        `steel.coupler.<mm>` [no.] for each size that has any.
    """
    for size in schedule.sizes:
        joined = [mark for mark in schedule.marks if mark.size_mm == size.size_mm and mark.couplers]
        if not joined:
            continue
        names = [f"mark_{number}" for number in range(1, len(joined) + 1)]
        yield Quantity(
            key=f"steel.coupler.{size.size_mm}",
            member="",
            title=f"Couplers {profile.bar(size.size_mm).designation}",
            unit="no.",
            formula=" + ".join(names),
            inputs={
                name: Input(mark.couplers, "no.", f"mark {mark.mark}")
                for name, mark in zip(names, joined, strict=True)
            },
            method="one at each joint that the engineer's answer allows",
            source="answers of the design sheet",
            material=f"coupler-{size.size_mm}",
            kind="coupler",
        )


def _beams(sheet: DesignSheet, *, spacing_mm: float | None, profile: Profile) -> Quantity:
    """Sets along each beam, the first and the last at its ends."""
    if spacing_mm is not None:
        apart = Input(spacing_mm, "mm", _FROM_SHEET)
    else:
        apart = cited(profile.value("supports.block.beam_spacing"))
    lengths = {
        f"length_{number}": Input(math.dist(beam.start, beam.end), "mm", f"beam {beam.name}")
        for number, beam in enumerate(sheet.beams, start=1)
    }
    sets = " + ".join(f"ceil({name} / apart - 0.000001) + 1" for name in lengths)
    return _line(
        "spacer.beam",
        title=gettext_noop("Cover blocks of the beams, at the sides and below"),
        formula=f"per_set * ({sets})",
        inputs={
            "per_set": cited(profile.value("supports.block.per_set")),
            "apart": apart,
            **lengths,
        },
        method="in sets along the beams",
        source=apart.source,
    )


def _line(
    key: str, *, title: str, formula: str, inputs: dict[str, Input], method: str, source: str
) -> Quantity:
    return Quantity(
        key=key,
        member="",
        title=title,
        unit="no.",
        formula=formula,
        inputs=inputs,
        method=method,
        source=source,
        material="cover-block",
        kind="cover-block",
    )
