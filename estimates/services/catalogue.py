"""The materials that a slab of the profile needs, under the codes that bill lines use."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.translation import gettext as _

from estimates.calc.steel import fabric
from estimates.models import StockUnit, UseMethod
from estimates.standards.values import Bar, Profile

SHOWN = {
    "g": ("kg", 1_000),
    "mm": ("m", 1_000),
    "m3": ("m³", 1_000_000),
    "L": ("L", 1_000),
    "cm2": ("m²", 10_000),
    "piece": ("no.", 1),
    "mday": ("day", 1_000),
}
"""Shown unit and stock units in it. Source: derived: metric prefixes."""

_UNITS = {
    "g": StockUnit.GRAM,
    "m3": StockUnit.CUBIC_CENTIMETRE,
    "L": StockUnit.CUBIC_CENTIMETRE,
    "cm2": StockUnit.SQUARE_CENTIMETRE,
    "piece": StockUnit.PIECE,
}


@dataclass(frozen=True, kw_only=True)
class Standard:
    """A material as it is adopted; afterwards each firm's row is its own."""

    code: str
    name: str
    stock_unit: StockUnit
    shown: str
    use_method: UseMethod
    lead_days: int
    stocked: bool = True
    shelf_days: int | None = None
    warn_days: int | None = None
    size_mm: int | None = None
    grade: str = ""
    nominal_mg_per_mm: int | None = None
    mass_source: str = ""

    @property
    def kind(self) -> str:
        """The part of the code before the hyphen, under which the profile keeps packs of all sizes."""
        return self.code.split("-", maxsplit=1)[0]


def constituents(profile: Profile) -> tuple[Standard, ...]:
    """List the materials of the concrete."""
    volume, slip, count = StockUnit.CUBIC_CENTIMETRE, UseMethod.SLIP, UseMethod.COUNT
    day_before = _days(profile, key="lead.constituent")
    return (
        Standard(
            code="cement",
            name=_("Cement"),
            stock_unit=StockUnit.GRAM,
            shown="g",
            use_method=slip,
            lead_days=day_before,
            shelf_days=_days(profile, key="shelf.cement"),
            warn_days=_days(profile, key="shelf.cement_warning"),
        ),
        _loose("sand", name=_("Sand"), lead_days=day_before),
        _loose("stone-20", name=_("Stone, 20 mm"), lead_days=day_before),
        _loose("stone-10", name=_("Stone, 10 mm"), lead_days=day_before),
        Standard(
            code="water",
            name=_("Mixing water"),
            stock_unit=volume,
            shown="L",
            use_method=count,
            lead_days=day_before,
            stocked=False,
        ),
        _by_slip("waterproofer", shown="L", name=_("Waterproofing compound"), lead_days=day_before),
        _by_slip("plasticiser", shown="L", name=_("Plasticiser"), lead_days=day_before),
    )


def consumables(profile: Profile) -> tuple[Standard, ...]:
    """List formwork, wire and what curing takes."""
    formwork, curing = _days(profile, key="lead.formwork"), _days(profile, key="lead.curing")
    return (
        Standard(
            code="binding-wire",
            name=_("Binding wire"),
            stock_unit=StockUnit.GRAM,
            shown="g",
            use_method=UseMethod.COUNT,
            lead_days=_days(profile, key="lead.steel"),
        ),
        _by_slip("formwork", shown="cm2", name=_("Formwork"), lead_days=formwork),
        _by_slip("curing-cover", shown="cm2", name=_("Curing cover"), lead_days=curing),
        Standard(
            code="curing-water",
            name=_("Curing water"),
            stock_unit=StockUnit.CUBIC_CENTIMETRE,
            shown="L",
            use_method=UseMethod.COUNT,
            lead_days=curing,
            stocked=False,
        ),
    )


def beside(profile: Profile) -> tuple[Standard, ...]:
    """List what only some slabs ask for: ready-mixed, consumables, waterproofing, hire, crew, mesh."""
    curing, formwork = _days(profile, key="lead.curing"), _days(profile, key="lead.formwork")
    day_before, steel = _days(profile, key="lead.constituent"), _days(profile, key="lead.steel")
    return (
        _by_slip("ready-mixed", shown="m3", name=_("Ready-mixed concrete"), lead_days=curing),
        _by_slip(
            "bonding-agent",
            shown="g",
            name=_("Bonding agent"),
            lead_days=_days(profile, key="lead.constituent"),
        ),
        _by_slip("mould-oil", shown="L", name=_("Mould oil"), lead_days=formwork),
        _by_slip("nails", shown="g", name=_("Nails"), lead_days=formwork),
        _by_slip("rain-cover", shown="cm2", name=_("Rain cover"), lead_days=day_before),
        _by_slip("curing-compound", shown="L", name=_("Curing compound"), lead_days=curing),
        _by_slip("waterproofing-coat", shown="g", name=_("Waterproofing coat"), lead_days=curing),
        _by_slip("waterproofing-primer", shown="L", name=_("Waterproofing primer"), lead_days=curing),
        _by_slip("waterproofing-bitumen", shown="g", name=_("Bonding bitumen"), lead_days=curing),
        _by_slip("cover-block", shown="piece", name=_("Cover blocks"), lead_days=steel),
        _hired("hire-mixer", name=_("Concrete mixer, hire")),
        _hired("hire-vibrator", name=_("Vibrator, hire")),
        _hired("hire-prop", name=_("Props, hire")),
        _hired("hire-formwork", name=_("Shuttering plates and planks, hire")),
        _hired("hire-other", name=_("Other plant, hire")),
        _hired("crew-mason", name=_("Mason")),
        _hired("crew-labourer", name=_("Labourer")),
        _hired("crew-water-carrier", name=_("Water carrier")),
        *_fabrics(profile),
    )


def _fabrics(profile: Profile) -> tuple[Standard, ...]:
    """The welded fabrics of the profile, kept by the sheet."""
    lead_days = _days(profile, key="lead.steel")
    return tuple(
        _by_slip(
            f"fabric-{name.lower()}",
            shown="piece",
            name=_("Fabric %(name)s, sheet") % {"name": name},
            lead_days=lead_days,
        )
        for name in fabric.known(profile)
    )


def bars(profile: Profile, *, grade: str) -> tuple[Standard, ...]:
    """List the bar sizes that are usual in slabs and their beams, with the mass of the standard's table."""
    lead_days = _days(profile, key="lead.steel")
    rows = (row for row in profile.bars.values() if 8 <= row.size_mm <= 32)
    return tuple(_bar(row, grade=grade, lead_days=lead_days) for row in rows)


def _bar(row: Bar, *, grade: str, lead_days: int) -> Standard:
    return Standard(
        code=f"steel-{row.size_mm}",
        name=_("Bar %(size)s, %(grade)s") % {"size": row.designation, "grade": grade},
        stock_unit=StockUnit.MILLIMETRE,
        shown="mm",
        use_method=UseMethod.SLIP,
        lead_days=lead_days,
        size_mm=row.size_mm,
        grade=grade,
        nominal_mg_per_mm=round(row.mass_kg_per_m * 1_000),
        mass_source=row.citation[:120],
    )


def _by_slip(code: str, *, shown: str, name: str, lead_days: int) -> Standard:
    return Standard(
        code=code,
        name=name,
        stock_unit=_UNITS[shown],
        shown=shown,
        use_method=UseMethod.SLIP,
        lead_days=lead_days,
    )


def _loose(code: str, *, name: str, lead_days: int) -> Standard:
    return Standard(
        code=code,
        name=name,
        stock_unit=StockUnit.CUBIC_CENTIMETRE,
        shown="m3",
        use_method=UseMethod.COUNT,
        lead_days=lead_days,
    )


def _hired(code: str, *, name: str) -> Standard:
    """Days of a machine or of a person: priced with the slab, never kept in a store."""
    return Standard(
        code=code,
        name=name,
        stock_unit=StockUnit.DAY,
        shown="mday",
        use_method=UseMethod.SLIP,
        lead_days=0,
        stocked=False,
    )


def _days(profile: Profile, *, key: str) -> int:
    return round(profile.number(key))
