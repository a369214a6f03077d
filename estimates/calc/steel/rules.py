"""The named methods of one bar schedule: those of the sheet, and for the rest those of the profile."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, cast

from estimates.calc.derivation import Input, cited
from estimates.calc.sheet.steel import SteelMethods
from estimates.calc.sheet.types import CountMethod, CrankMethod, LengthRounding, StirrupMethod
from estimates.standards import catalogues
from estimates.standards.catalogues import BendRow, Catalogue, Shape
from estimates.standards.values import Profile

_SHEET: Final = "named in the design sheet"
_ANGLES: Final = (30, 45, 60)
_KINDS: Final = ("count", "bend", "stirrup", "crank", "hook", "length_rounding", "catalogue")
_TABLES: Final[Mapping[str, str]] = {"r": "bs8666-2005", "P": "bs8666-2005", "P10": "bs8666-2005"}
_HOOKS: Final = "aci315-1999"
_HOOK_STEP: Final = "hook_step * ceil(max({} * d, hook_least) / hook_step - 0.000001)"


@dataclass(frozen=True, slots=True)
class Term:
    """A part of a length's formula in the bar diameter d, its inputs, and the rule in words."""

    formula: str
    inputs: Mapping[str, Input]
    words: str


@dataclass(frozen=True, slots=True)
class Crank:
    """What one crank of an angle adds, as a share of the rise, and what its bends take off."""

    share: Input
    deduction: Input | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """Chosen methods with their coefficients; `sources` says what each choice rests on.

    `bend` is what a right bend takes off, `stirrup_sum` the length of a closed stirrup, `hook` and `end_bend`
    what a hooked or bent end adds. `catalogue` is the edition in which the shape codes are read; the plain
    words may always be used. `diameters` are the nominal diameters of the profile's sizes [mm], and
    `designations` their names.
    """

    count: CountMethod
    stirrup: StirrupMethod
    crank: CrankMethod
    length_rounding: LengthRounding
    bend: Term
    stirrup_sum: Term
    hook: Term
    end_bend: Term
    cranks: Mapping[int, Crank]
    sources: Mapping[str, str]
    catalogue: Catalogue
    words: Catalogue
    diameters: Mapping[int, Input]
    designations: Mapping[int, str]
    rounded_in_sheet: bool

    def catalogue_of(self, code: str) -> Catalogue | None:
        """The catalogue in which this schedule reads a shape; None when it stands in neither."""
        if code in self.words.shapes:
            return self.words
        return self.catalogue if code in self.catalogue.shapes else None

    def shape(self, code: str) -> Shape:
        """The shape. Raises: ValueError: neither a plain word nor a code of the schedule's catalogue."""
        found = self.catalogue_of(code)
        if found is None:
            message = f"shape {code} is not in {self.catalogue.title}; name its catalogue or correct it"
            raise ValueError(message)
        return found.shapes[code]

    def rounding_of(self, code: str) -> LengthRounding:
        """The sheet's rounding, else that of the catalogue of a code, else the profile's."""
        if self.rounded_in_sheet or code in self.words.shapes:
            return self.length_rounding
        return cast("LengthRounding", self.catalogue.rounding)

    def bend_row(self, name: str, *, size_mm: int, code: str) -> BendRow | None:
        """The row that has a bend's measure for a size: of the code's catalogue, for words of its own."""
        table = self.catalogue
        if code in self.words.shapes:
            table = catalogues.load(_TABLES.get(name, _HOOKS))
        row = table.bends.get(size_mm)
        return row if row is not None and name in row.values else None

    def measure(self, name: str, *, size_mm: int, code: str) -> Input:
        """A bend's measure for a size [mm], as "r". Raises: ValueError: its table has no such size."""
        row = self.bend_row(name, size_mm=size_mm, code=code)
        if row is None:
            message = (
                f"shape {code}: the table of bends has no {name} for a {size_mm} mm bar; name another method"
            )
            raise ValueError(message)
        return Input(row.values[name], "mm", f"{row.citation}, {name} of size {size_mm}")


def choose(asked: SteelMethods, *, profile: Profile) -> Rules:
    """Settles the methods of a bar schedule.

    Source: the sheet where it names a method, else the profile's `steel.method.*`.

    Args:
        asked: methods named in the sheet; None leaves one to the profile.
        profile: the standards profile.

    Returns:
        The methods with their coefficients.

    >>> from estimates.standards import load
    >>> choose(SteelMethods(), profile=load.profile("is")).stirrup
    'outside_16d'
    """
    names, sources = {}, {}
    for kind in _KINDS:
        own = getattr(asked, kind)
        choice = profile.choice(f"steel.method.{kind}")
        names[kind] = own or choice.value
        sources[kind] = _SHEET if own else choice.citation
    return Rules(
        count=cast("CountMethod", names["count"]),
        stirrup=cast("StirrupMethod", names["stirrup"]),
        crank=cast("CrankMethod", names["crank"]),
        length_rounding=cast("LengthRounding", names["length_rounding"]),
        bend=_bend(names["bend"], profile=profile),
        stirrup_sum=_stirrup(names["stirrup"], profile=profile),
        hook=_end(names["hook"], kind="hook", profile=profile),
        end_bend=_end(names["hook"], kind="bend", profile=profile),
        cranks={angle: _crank(names["crank"], angle=angle, profile=profile) for angle in _ANGLES},
        sources=sources,
        catalogue=catalogues.load(names["catalogue"]),
        words=catalogues.load(catalogues.WORDS),
        diameters={size: Input(bar.diameter_mm, "mm", bar.citation) for size, bar in profile.bars.items()},
        designations={size: bar.designation for size, bar in profile.bars.items()},
        rounded_in_sheet=asked.length_rounding is not None,
    )


def _bend(name: str, *, profile: Profile) -> Term:
    if name == "bs8666":
        return Term("(0.5 * r + d)", {}, "each 90° bend takes off 0.5r + d with r of the size's table")
    if name.startswith("is2502"):
        radius = cited(profile.value(f"steel.bend.{name}.radius"))
        words = f"each 90° bend takes off R/2 + d with R = {radius.value:g}d"
        return Term("(R * d / 2 + d)", {"R": radius}, words)
    flat = cited(profile.value(f"steel.bend.{name}.deduction"))
    words = f"each 90° bend takes off {flat.value:g}d" if flat.value else "bends are not taken off"
    return Term("bend * d", {"bend": flat}, words)


def _stirrup(name: str, *, profile: Profile) -> Term:
    if name == "aci315_135":
        words = "outside dimensions; 2 (A + B) and two hooks of 135°"
        return Term("2 * (A + B) + 2 * stirrup_135", {}, words)
    addition = cited(profile.value(f"steel.stirrup.{name}.addition"))
    read = "inside" if name == "inside_24d" else "outside"
    words = f"{read} dimensions; 2 (A + B) + {addition.value:g}d"
    if name != "bs8666_16d":
        return Term("2 * (A + B) + closing * d", {"closing": addition}, words)
    least = cited(profile.value(f"steel.stirrup.{name}.least"))
    inputs = {"closing": addition, "closing_least": least}
    words = f"{words}, the end legs at least {least.value:g} mm"
    return Term("2 * (A + B) + max(closing * d, closing_least)", inputs, words)


def _end(name: str, *, kind: str, profile: Profile) -> Term:
    """What a hooked end (`kind` "hook") or a bent one ("bend") adds to a straight bar."""
    if name == "aci315_180":
        table = "hook_180" if kind == "hook" else "hook_90"
        return Term(table, {}, f"{kind} of the size's table")
    addition = cited(profile.value(f"steel.hook.{name}.{kind}"))
    least, step = (cited(profile.value(f"steel.hook.{word}")) for word in ("least", "step"))
    inputs = {f"{kind}_share": addition, "hook_least": least, "hook_step": step}
    words = f"{kind} {addition.value:g}d, at least {least.value:g} mm, up to {step.value:g} mm"
    return Term(_HOOK_STEP.format(f"{kind}_share"), inputs, words)


def _crank(name: str, *, angle: int, profile: Profile) -> Crank:
    if name == "practice":
        share = cited(profile.value(f"steel.crank.practice.share.{angle}"))
        return Crank(share, cited(profile.value(f"steel.crank.practice.deduction.{angle}")))
    if name == "exact":
        slope = math.radians(angle)
        exact = 1 / math.sin(slope) - 1 / math.tan(slope)
        return Crank(Input(exact, "1", f"1 / sin {angle}° - 1 / tan {angle}°, on the centre line"), None)
    return Crank(cited(profile.value("steel.crank.one_depth.share")), None)
