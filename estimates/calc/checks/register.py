"""Which values of the standards each finding rests on, and the table of all findings printed from it."""

from collections.abc import Iterator, Mapping
from fnmatch import fnmatchcase
from typing import Final

from estimates.calc.checks.texts import TEXTS
from estimates.standards import load
from estimates.standards.values import Profile, Value

PROFILES: Final = ("is", "en", "aci")

HEAD: Final = """# All findings of the casting checks

Printed from `estimates/calc/checks/register.py`; a test compares the two. To print it anew:

```
.venv/bin/python -c "from estimates.calc.checks import register; print(register.markdown(), end='')" \\
    > estimates/standards/findings.md
```

A limit that was read, quoted or derived may stop a bill; one from memory or custom warns at most. Documents
are those of `sources.toml`; clause and value stand beside each finding where it is shown. A dash: this
profile sets none.

"""

LIMITS: Final[Mapping[str, tuple[str, ...]]] = {
    "exposure.grade": ("exposure.*.grade_min", "british.*.grade_min"),
    "exposure.slab_cover": ("exposure.*.cover_min", "cover.durability.*", "cover.against_*", "cover.*.*"),
    "exposure.beam_cover": (
        "exposure.*.cover_min",
        "cover.durability.*",
        "cover.sheltered.*",
        "cover.weather.*",
    ),
    "exposure.water_cement": ("exposure.*.water_cement_max", "british.*.water_cement_max"),
    "exposure.cement": ("exposure.*.cement_min", "british.*.cement_min", "concrete.cement_for_stone_size.*"),
    "exposure.air": ("exposure.*.air_min", "air.*"),
    "exposure.air_unstated": ("exposure.*.air_min", "air.*"),
    "cover.relieved": ("exposure.*.cover_relief*",),
    "cover.bar": ("cover.to_bar_min",),
    "cover.class_open": (),
    "cover.surroundings_open": ("cover.sheltered.slab",),
    "grade.class": ("concrete.cube_of.*",),
    "cement.most": ("concrete.cement_max",),
    "mix.nominal_grade": ("concrete.nominal_mix_grade_max",),
    "mix.parts": ("nominal_mix.*",),
    "mix.stone_split": ("stone_split.20",),
    "mix.stone_to_sand": ("mass_ratio.stone_to_sand_*",),
    "mix.not_trialled": (),
    "joint.agreed": (),
    "falsework.unknown": (),
    "stone.size": ("concrete.stone_to_thickness_max",),
    "stone.cover": ("stone.below_cover.*",),
    "stone.spacing": ("stone.below_clear_spacing", "stone.to_clear_spacing_max"),
    "thickness.least": ("slab.thickness_min",),
    "thickness.better": ("slab.thickness_better",),
    "thickness.fire": ("fire.thickness.*",),
    "placing.beams_apart": (),
    "placing.beams_apart_agreed": (),
    "placing.free_fall": ("placing.free_fall.*",),
    "placing.time": ("placing.time.*",),
    "placing.temperature": ("placing.temperature.max", "placing.temperature.better"),
    "placing.too_cold": ("placing.temperature.least",),
    "placing.hot": ("placing.air.hot",),
    "placing.cold": ("placing.air.cold",),
    "placing.rain": (),
    "placing.no_spare_vibrator": (),
    "drawing.engineer": (),
    "drawing.revision": (),
    "drawing.date": (),
    "curing.days": ("curing.days.*", "curing_days.*"),
    "curing.cement": ("curing.days.*", "curing_days.*"),
    "allowance.twice": ("mix_loss.factor_without_loss",),
    "opening.trimmers": (),
    "steel.cutting": (),
    "steel.spacing_most": ("detailing.*.spacing_*",),
    "steel.spacing_main": ("detailing.*.spacing_*",),
    "steel.spacing_clear": ("detailing.clear.*",),
    "steel.minimum": ("detailing.minimum.*",),
    "steel.minimum_row": ("detailing.minimum.*",),
    "steel.one_way": (),
    "steel.secondary": ("detailing.secondary_share",),
    "steel.size_most": ("detailing.size_share",),
    "steel.one_off": ("detailing.one_off_bars",),
    "steel.lap_size": ("laps.size_most",),
    "steel.lap_short": ("laps.*",),
    "steel.lap_open": (),
    "steel.lap_share": ("laps.share_most",),
    "steel.bundle_bars": ("laps.bundle_most",),
    "steel.bundle_size": ("laps.bundle_size_most",),
    "steel.leg": ("detailing.leg.*",),
}
"""By code of the finding, patterns of the keys of its limits; none where it rests on custom or the plan."""

NEVER_STOPS: Final = frozenset(
    {
        "exposure.air_unstated",
        "cover.relieved",
        "cover.surroundings_open",
        "grade.class",
        "mix.parts",
        "mix.stone_split",
        "thickness.better",
        "curing.cement",
        "allowance.twice",
    }
)
"""Findings that only warn or note, whatever their source."""


def markdown() -> str:
    """The table of all findings: sentence, documents and heaviest weight by profile.

    Source: derived: `TEXTS`, `LIMITS` and the citations of the standards data.

    Returns:
        The table as Markdown.

    >>> "| `thickness.least` |" in markdown()
    True
    """
    profiles = [load.profile(profile_id) for profile_id in PROFILES]
    rows = [HEAD + f"| finding | says | {' | '.join(PROFILES)} |", "|---|---|---|---|---|"]
    for code in LIMITS:
        says = TEXTS[code].replace("%%", "%").replace("%(", "(").replace(")s", ")")
        cells = (_cell(code, profile=profile) for profile in profiles)
        rows.append(f"| `{code}` | {says} | {' | '.join(cells)} |")
    return "\n".join(rows) + "\n"


def of(code: str, *, profile: Profile) -> Iterator[Value]:
    """The values of a profile on which a finding rests.

    Source: `LIMITS`.

    Args:
        code: code of the finding.
        profile: the standards profile.

    Yields:
        The values, in the order of their keys; none where the finding rests on custom or on the plan.
    """
    for key in sorted(profile.values):
        if any(fnmatchcase(key, pattern) for pattern in LIMITS[code]):
            yield profile.values[key]


def _cell(code: str, *, profile: Profile) -> str:
    if not LIMITS[code]:
        return "custom"
    found = list(of(code, profile=profile))
    if not found:
        return "–"
    documents = sorted({value.source for value in found})
    stops = code not in NEVER_STOPS and any(value.provenance.may_stop for value in found)
    weight = "may stop" if stops else "warns"
    return f"{', '.join(documents)}; {weight}"
