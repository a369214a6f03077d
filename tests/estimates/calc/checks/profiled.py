"""A sheet without a finding for each profile, and what the checks of one module say of a changed one."""

from dataclasses import replace

from estimates.calc.reading.reader import DesignedMix
from estimates.calc.sheet.durability import Durability
from estimates.standards import load
from tests.worked import drawn

WORDS = {
    "is": {"grade": "M30", "steel_grade": "Fe500", "exposure": "mild"},
    "en": {"grade": "C30/37", "steel_grade": "B500B", "exposure": "XC3"},
    "aci": {"grade": "4000 psi", "steel_grade": "Grade 60", "exposure": "F0"},
}


def mix(**changes):
    given = {
        "cement_kg_m3": 340.0,
        "water_kg_m3": 153.0,
        "sand_kg_m3": 700.0,
        "stone_kg_m3": {"20": 701.0, "10": 467.0},
        "sand_bulk_kg_m3": 1650.0,
        "stone_bulk_kg_m3": {"20": 1402.0, "10": 1556.0},
    }
    return DesignedMix(kind="designed", **(given | changes))


def sound(profile, **changes):
    """The example's shape in the words of a profile, so good that no check finds anything."""
    given = {"cover_mm": 50.0, "beam_cover_mm": 50.0, "thickness_mm": 150.0, "mix": mix(), "bars": ()}
    given |= {"openings": (), "durability": Durability(surroundings="sheltered"), "profile": profile}
    return replace(drawn.ridge_house(), **(given | WORDS[profile] | changes))


def found(module, sheet):
    """Severity by code, from one module's checks."""
    profile = load.profile(sheet.profile)
    return {row.code: str(row.severity) for row in module(sheet, profile=profile)}
