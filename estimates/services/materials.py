"""The firm's materials and the packs in which it buys them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from django.utils.translation import gettext as _

from estimates.calc import money, packs, stock
from estimates.calc.sheet import grades
from estimates.calc.sheet.types import ProfileId
from estimates.models import Material, Pack
from estimates.queries import standards
from estimates.services import catalogue, needs
from estimates.services.catalogue import Standard
from estimates.standards.values import Profile, StandardsError
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused
from projects.models import Firm
from projects.services.acts import business_act

MAX_DAYS = 365


class BadPack(Refused):
    """A pack without a name, content or source."""

    code = "bad_pack"


class PackNameTaken(Refused):
    """The material has a pack of this name."""

    code = "pack_name_taken"
    status = 409


class BadGrade(Refused):
    """A steel grade that no profile knows."""

    code = "bad_grade"


class ProfileIncomplete(Refused):
    """The firm's profile lacks a value that its materials need."""

    code = "profile_incomplete"
    status = 409


class BadTiming(Refused):
    """Days out of their bounds."""

    code = "bad_timing"


@dataclass(frozen=True)
class AdoptionAct:
    """Take over the standard materials and packs of the firm's profile, with bars of this grade.

    An empty grade is the profile's usual one; a grade of another profile brings the bars of that profile's
    table. `beside` adds what only some slabs ask for: ready-mixed concrete, consumables, waterproofing, hire,
    crew.
    """

    steel_grade: str = ""
    beside: bool = False


@dataclass(frozen=True)
class PackAct:
    """A pack of a material; the content is in stock units."""

    material_id: int
    name: str
    content: int
    source: str


@dataclass(frozen=True)
class TimingAct:
    """How long before the pour a material must be there, and how long it keeps."""

    material_id: int
    lead_days: int
    shelf_days: int | None
    warn_days: int | None = None


@business_act(result=Firm)
def adopt(*, actor: Actor, act: AdoptionAct, key: str, now: datetime) -> Firm:
    """Give the firm the standard materials it does not have yet, each with its usual pack.

    A bar size that the firm keeps in another grade gets a code that names the grade. Refused for a grade
    that no profile knows, and when the profile lacks a value.
    """
    del key, now
    actor.require(Permission.SET_RATES)
    firm = Firm.objects.get(pk=actor.firm_id)
    kept = {row.code: row for row in scope.visible(Material.objects.all(), actor)}
    for profile, usual, kinds in _standards(actor, act=act):
        for standard in kinds:
            wanted = _under_free_code(standard, kept=kept)
            if wanted.code not in kept:
                material = _add(wanted, firm=firm)
                _add_packs(material, standard=standard, usual=usual, profile=profile)
    return firm


@business_act(result=Pack)
def add_pack(*, actor: Actor, act: PackAct, key: str, now: datetime) -> Pack:
    """Add a pack; refused without name, content or source, or when the material has one of this name."""
    del key, now
    actor.require(Permission.SET_RATES)
    material = scope.get(Material.objects.select_for_update(), actor, pk=act.material_id)
    if not act.name.strip():
        raise BadPack(_("The pack has no name. Write what it is, as “bag” or “bar of 12 m”."), field="name")
    if act.content <= 0:
        message = _("Content %(content)s must be more than 0. Write how much one pack holds.")
        raise BadPack(message % {"content": act.content}, field="content")
    if not act.source.strip():
        raise BadPack(_("The pack has no source. Write who says how much it holds."), field="source")
    if material.packs.filter(name=act.name).exists():
        message = _("%(material)s has a pack called “%(name)s” already. Choose another name.")
        raise PackNameTaken(message % {"material": material.name, "name": act.name}, field="name")
    return _add_pack(material, name=act.name, content=act.content, source=act.source)


@business_act(result=Material)
def set_timing(*, actor: Actor, act: TimingAct, key: str, now: datetime) -> Material:
    """Set when a material is needed before a pour and how long it keeps; its dated needs move with it."""
    del key
    actor.require(Permission.SET_RATES)
    material = scope.get(Material.objects.select_for_update(), actor, pk=act.material_id)
    spans = (
        ("lead_days", act.lead_days, 0),
        ("shelf_days", act.shelf_days, 1),
        ("warn_days", act.warn_days, 1),
    )
    for field, days, least in spans:
        if days is not None and not least <= days <= MAX_DAYS:
            message = _("%(days)s days must be from %(least)s to %(most)s. Correct the number.")
            raise BadTiming(message % {"days": days, "least": least, "most": MAX_DAYS}, field=field)
    if act.warn_days is not None and (act.shelf_days is None or act.warn_days >= act.shelf_days):
        message = _(
            "It is pointed out at %(warn)s days, which must be before it is blocked. Correct one of them."
        )
        raise BadTiming(message % {"warn": act.warn_days}, field="warn_days")
    material.lead_days, material.shelf_days = act.lead_days, act.shelf_days
    material.warn_days = act.warn_days
    material.save(update_fields=["lead_days", "shelf_days", "warn_days"])
    needs.ask(actor, now=now)
    return material


_Kinds = tuple[Profile, Mapping[str, packs.PackSize], tuple[Standard, ...]]
"""Materials of one profile, with that profile and its usual packs."""


def _standards(actor: Actor, *, act: AdoptionAct) -> tuple[_Kinds, _Kinds]:
    """The materials of the firm's profile, and the bars of one grade by the profile that knows it."""
    profile_id = grades.profile_id(actor.profile)
    wanted = act.steel_grade or grades.STEEL[profile_id].example
    of_steel = _profile_of(wanted, firms=profile_id)
    try:
        profile = standards.of_firm(actor, profile_id=profile_id)
        more = catalogue.beside(profile) if act.beside else ()
        rest = (*catalogue.constituents(profile), *catalogue.consumables(profile), *more)
        steel = standards.of_firm(actor, profile_id=of_steel)
        bars = catalogue.bars(steel, grade=wanted)
        return (profile, packs.defaults(profile), rest), (steel, packs.defaults(steel), bars)
    except StandardsError as lack:
        message = _("The standards data of the firm's profile are not complete: %(why)s.")
        raise ProfileIncomplete(message % {"why": lack}) from None


def _profile_of(grade: str, *, firms: ProfileId) -> ProfileId:
    """The profile that knows a steel grade, the firm's own before the others."""
    for profile in (firms, *grades.STEEL):
        if grades.steel(grade, profile=profile) is not None:
            return profile
    message = _("“%(grade)s” is not a steel grade of a profile. Write it as %(examples)s.")
    examples = " · ".join(form.example for form in grades.STEEL.values())
    raise BadGrade(message % {"grade": grade, "examples": examples}, field="steel_grade")


def _under_free_code(standard: Standard, *, kept: dict[str, Material]) -> Standard:
    row = kept.get(standard.code)
    if row is None or row.grade == standard.grade:
        return standard
    return replace(standard, code=f"{standard.code}-{standard.grade.lower().replace(' ', '-')}")


def _add(standard: Standard, *, firm: Firm) -> Material:
    unit, factor = catalogue.SHOWN[standard.shown]
    return Material.objects.create(
        firm=firm,
        code=standard.code,
        name=standard.name,
        stock_unit=standard.stock_unit,
        show_unit=unit,
        show_factor=factor,
        use_method=standard.use_method,
        stocked=standard.stocked,
        shelf_days=standard.shelf_days,
        warn_days=standard.warn_days,
        size_mm=standard.size_mm,
        grade=standard.grade,
        nominal_mg_per_mm=standard.nominal_mg_per_mm,
        mass_source=standard.mass_source,
        lead_days=standard.lead_days,
    )


def _content(pack: packs.PackSize, *, material: Material) -> int:
    return stock.units(
        pack.content,
        unit=pack.unit,
        stock_unit=material.stock_unit,
        milligrams_per_millimetre=material.nominal_mg_per_mm,
    )


def _add_pack(material: Material, *, name: str, content: int, source: str, mass_g: int | None = None) -> Pack:
    return Pack.objects.create(
        material=material, name=name[:60], content=content, source=source[:200], mass_g=mass_g
    )


def _add_packs(
    material: Material, *, standard: Standard, usual: Mapping[str, packs.PackSize], profile: Profile
) -> None:
    pack = usual.get(standard.code, usual.get(standard.kind))
    if pack is not None:
        _add_pack(material, name=pack.name, content=_content(pack, material=material), source=pack.source)
    if material.stock_unit == "mm":
        for bundle in packs.bundles(profile, material=standard.code):
            content = _content(bundle, material=material)
            _add_pack(material, name=bundle.name, content=content, source=bundle.source)
        _add_packs_by_mass(material, profile=profile, kind=standard.kind)


def _add_packs_by_mass(material: Material, *, profile: Profile, kind: str) -> None:
    """Add the units of mass in which bars are sold; what one is long follows from the nominal mass."""
    for pack in packs.by_mass(profile, kind=kind):
        mass_g = round(pack.content * money.GRAMS_PER_MASS_UNIT[pack.unit])
        content = _length_of(mass_g, material=material)
        _add_pack(material, name=pack.name, content=content, source=pack.source, mass_g=mass_g)


def _length_of(mass_g: int, *, material: Material) -> int:
    per = money.stock_per("kg", stock_unit="mm", grams_per_metre=material.nominal_mg_per_mm)
    return money.half_even(mass_g * per.numerator, denominator=1_000 * per.denominator)
