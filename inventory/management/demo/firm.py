"""The demo firm: its people, sites, materials, rates, suppliers and offers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.conf import settings

from estimates.services import materials, rates
from estimates.services.materials import AdoptionAct, PackAct
from estimates.services.rates import RateAct
from inventory.management.demo.clerk import Clerk
from inventory.services import plan_terms, suppliers
from inventory.services.plan_terms import TermsAct
from inventory.services.suppliers import OfferAct, SupplierAct
from projects.access.actor import Actor
from projects.access.roles import Role
from projects.queries import people as people_rows
from projects.services import people, sites
from projects.services.people import FirmAct, MailAct, PersonAct
from projects.services.sites import SiteAct

APPROVAL_LIMIT = 75_000_00
"""Orders above this are the owner's to approve, in minor units."""

AT_STAKE = TermsAct(
    stop_cost_minor=25_000_00, keep_permille=140, rest_permille=400, freight_minor=1_200_00, van_kg=3_000
)
"""What the demo firm has said that its plan weighs."""

PER_RUPEE = 1_000_000
"""1/10,000 of the minor unit in one rupee, the demo firm's currency."""

CASH_LIMIT = 5_000_00
"""What a site may buy for cash in a day, in minor units."""

SITES = ("Ridge House", "Dairy Store", "Mill Terrace")
SITES_OF = {"imran": ("Ridge House", "Dairy Store"), "lena": ("Mill Terrace",)}

RATES = {
    "cement": ("unit", 7.60, 0.35, 0.05, 0),
    "sand": ("unit", 1900, 350, 0, 0),
    "stone-20": ("unit", 1650, 400, 0, 0),
    "stone-10": ("unit", 1550, 400, 0, 0),
    "waterproofer": ("unit", 110, 0, 0, 0),
    "plasticiser": ("unit", 95, 0, 0, 0),
    "binding-wire": ("unit", 88, 0, 0, 0),
    "curing-cover": ("unit", 32, 0, 0, 0),
    "curing-water": ("unit", 0.05, 0, 0, 0),
    "water": ("unit", 0.05, 0, 0, 0),
    "formwork": ("unit", 165, 10, 0, 0),
}
STEEL_RATE = ("kg", 61.5, 1.5, 0.5, 0)
"""Invented prices in rupees: per unit shown, then basic, freight, loading, tax."""

SUPPLIERS = {
    "Karsa Cement Depot": ("044 555 0101", "orders@karsa-cement.example"),
    "Blue Hollow Aggregates": ("044 555 0102", "yard@blue-hollow.example"),
    "Tamrin Steel Yard": ("044 555 0103", "sales@tamrin-steel.example"),
    "Corner Stores": ("044 555 0104", ""),
}
CEMENT, STONE, STEEL, SUNDRIES = SUPPLIERS
OFFERS = (
    (CEMENT, "cement", 400, 20, 2),
    (SUNDRIES, "cement", 428, 1, 0),
    (STONE, "sand", 1125, 2, 2),
    (STONE, "stone-20", 1025, 2, 2),
    (STONE, "stone-10", 975, 2, 2),
    (SUNDRIES, "binding-wire", 90, 1, 1),
    (SUNDRIES, "waterproofer", 550, 1, 1),
    (SUNDRIES, "plasticiser", 475, 1, 1),
    (SUNDRIES, "curing-cover", 32, 1, 1),
    (SUNDRIES, "formwork", 175, 1, 3),
)
"""Supplier, material, price of a pack in rupees, least number of packs, days to deliver."""

OTHERS = {"bonding-agent": ("unit", 210, 0, 0, 0)}
"""What a later drawing asks for besides bars."""

STEEL_SIZES = (8, 10, 12, 16)
STEEL_PRICE_KG = 63.5
STEEL_LEAD_DAYS = 3


@dataclass(frozen=True)
class Crew:
    """The people who act in the demo, and the sites and suppliers by name."""

    office: Actor
    site_of: dict[str, Actor]
    owner: Actor
    sites: dict[str, int]
    suppliers: dict[str, int]
    limit_minor: int = APPROVAL_LIMIT


def found(clerk: Clerk) -> Crew:
    """Found the firm sixty days ago and fill its lists."""
    office = _people_and_sites(clerk)
    site_ids = {name: _site(clerk, office, name) for name in SITES}
    managers = _admit_all(clerk, office, site_ids)
    mailed = MailAct(username=_entry("office")["sign_in"], email="asha@hillfoot-builders.example")
    clerk.do(people.set_email, mailed, by=office, days=-60)
    _materials(clerk, office)
    _rates(clerk, office)
    supplier_ids = _suppliers(clerk, office)
    _offers(clerk, office, supplier_ids)
    clerk.do(plan_terms.set_terms, AT_STAKE, by=office, days=-60)
    return Crew(
        office=office,
        site_of={name: managers[who] for who, names in SITES_OF.items() for name in names},
        owner=managers["olive"],
        sites=site_ids,
        suppliers=supplier_ids,
    )


def _people_and_sites(clerk: Clerk) -> Actor:
    office = _entry("office")
    act = FirmAct(
        name="Hillfoot Builders",
        currency="INR",
        locale="en_IN",
        time_zone="Asia/Kolkata",
        username=office["sign_in"],
        person=office["name"],
        approval_limit_minor=APPROVAL_LIMIT,
        cash_limit_minor=CASH_LIMIT,
    )
    people.found_firm(act=act, password=office["password"], now=clerk.at(-60))
    return _actor(office["sign_in"])


def _entry(role: str) -> dict[str, str]:
    return next(dict(entry) for entry in settings.DEMO_PEOPLE if entry["role"] == role)


def _actor(username: str) -> Actor:
    return people_rows.actor_named(username)


def _site(clerk: Clerk, office: Actor, name: str) -> int:
    act = SiteAct(name=name, place="Hillfoot", opened_date=clerk.day(-60))
    return int(clerk.do(sites.open_site, act, by=office, days=-60).pk)


def _admit_all(clerk: Clerk, office: Actor, site_ids: dict[str, int]) -> dict[str, Actor]:
    admitted = {}
    for entry in settings.DEMO_PEOPLE:
        if entry["role"] == "office":
            continue
        username = entry["sign_in"]
        own = tuple(site_ids[name] for name in SITES_OF.get(username, ()))
        act = PersonAct(username=username, name=entry["name"], role=Role(entry["role"]), site_ids=own)
        clerk.do(people.admit, act, by=office, days=-60)
        people.set_password(actor=office, username=username, password=entry["password"], now=clerk.at(-60))
        admitted[username] = _actor(username)
    return admitted


def _materials(clerk: Clerk, office: Actor) -> None:
    clerk.do(materials.adopt, AdoptionAct(steel_grade="Fe500"), by=office, days=-60)
    clerk.learn_materials(office)
    if not clerk.kept["formwork"].packs:
        act = PackAct(
            material_id=clerk.material_id("formwork"),
            name="square metre",
            content=10_000,
            source="hired by the square metre of contact area",
        )
        clerk.do(materials.add_pack, act, by=office, days=-60)
        clerk.learn_materials(office)


def _rates(clerk: Clerk, office: Actor) -> None:
    steel = {f"steel-{size}": STEEL_RATE for size in STEEL_SIZES}
    for code, terms in (RATES | steel).items():
        _rate(clerk, office, code, terms, days=-60)


def _rate(
    clerk: Clerk, office: Actor, code: str, terms: tuple[str, float, float, float, float], *, days: int
) -> None:
    per, *parts = terms
    basic, freight, loading, tax = (round(part * PER_RUPEE) for part in parts)
    act = RateAct(
        material_id=clerk.material_id(code),
        from_date=clerk.day(days),
        per=per,
        basic=basic,
        freight=freight,
        loading=loading,
        tax=tax,
        source="price list of the demo",
    )
    clerk.do(rates.set_rate, act, by=office, days=days)


def price(
    clerk: Clerk, office: Actor, supplier_ids: dict[str, int], *, codes: tuple[str, ...], days: int
) -> None:
    """Set rates of further bars and of what else a later drawing asks for, with who sells it."""
    for code, terms in (OTHERS | dict.fromkeys(codes, STEEL_RATE)).items():
        _rate(clerk, office, code, terms, days=days)
    for code in codes:
        offer = (STEEL, code, _bar_price(clerk, code), 5, STEEL_LEAD_DAYS)
        _offer(clerk, office, supplier_ids, offer, from_days=days)
    for code, (_per, amount, *_rest) in OTHERS.items():
        _offer(clerk, office, supplier_ids, (SUNDRIES, code, amount, 1, 1), from_days=days)


def _suppliers(clerk: Clerk, office: Actor) -> dict[str, int]:
    made: dict[str, int] = {}
    for name, (phone, email) in SUPPLIERS.items():
        act = SupplierAct(name=name, phone=phone, email=email)
        made[name] = clerk.do(suppliers.add, act, by=office, days=-60).pk
    return made


def _offers(clerk: Clerk, office: Actor, supplier_ids: dict[str, int]) -> None:
    steel = tuple(
        (STEEL, f"steel-{size}", _bar_price(clerk, f"steel-{size}"), 5, STEEL_LEAD_DAYS)
        for size in STEEL_SIZES
    )
    for supplier, code, price, least, days in (*OFFERS, *steel):
        _offer(clerk, office, supplier_ids, (supplier, code, price, least, days), from_days=-60)
    # Cement became dearer three weeks ago: the owner sees it as a difference of price.
    _offer(clerk, office, supplier_ids, (CEMENT, "cement", 418, 20, 2), from_days=-21)


def _offer(
    clerk: Clerk,
    office: Actor,
    supplier_ids: dict[str, int],
    terms: tuple[str, str, Any, int, int],
    *,
    from_days: int,
) -> None:
    supplier, code, price, least, days = terms
    pack_price = round(price * PER_RUPEE)
    clerk.learn_price(supplier, code, from_date=clerk.day(from_days), pack_price=pack_price)
    act = OfferAct(
        supplier_id=supplier_ids[supplier],
        material_id=clerk.material_id(code),
        pack_id=clerk.pack_id(code),
        from_date=clerk.day(from_days),
        pack_price=pack_price,
        lead_days=days,
        minimum_packs=least,
    )
    clerk.do(suppliers.set_offer, act, by=office, days=from_days)


def _bar_price(clerk: Clerk, code: str) -> float:
    """Price a bar by its nominal mass: length in mm × g/m ÷ 1,000,000 is kg."""
    grams_per_metre = clerk.kept[code].material.nominal_mg_per_mm or 0
    return clerk.content(code) * grams_per_metre / 1_000_000 * STEEL_PRICE_KG
