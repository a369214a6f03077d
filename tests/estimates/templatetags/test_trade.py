"""Quantities beside metric ones, against published conversions."""

import pytest

from estimates.templatetags import trade

FRAME = {"frame": {"locale": "en_US"}}


# 20.9 m³ of sand = 739 ft³ = 7.39 brass (a published site calculation gives 739 and 7.39; exactly 738.08);
# 1 yd³ = 0.764555 m³, 1 lb = 0.45359237 kg, 1 US gallon = 3.785412 L, 100 kg = 1 quintal; a sack of cement
# is 94 lb; 1 ft³ = 28.316847 L, 1 US fluid ounce = 29.57353 mL, 1 lb/ft = 1.488164 kg/m (NIST SP 811).
@pytest.mark.parametrize(
    ("value", "unit", "profile", "key", "shown"),
    [
        (20.9, "m³", "is", "sand", "738.08 ft³, 7.38 brass"),
        (20.9, "m³", "is", "concrete.net", ""),
        (2223.68, "kg", "is", "cement", "22.24 quintal"),
        (45.0, "kg", "is", "steel.size.8", ""),
        (0.764555, "m³", "aci", "concrete.net", "1 yd³"),
        (45.359237, "kg", "aci", "steel.size.13", "100 lb"),
        (426.376828, "kg", "aci", "cement", "940 lb, 10 sacks"),
        (28.316847, "L", "aci", "gauge.sand", "1 ft³"),
        (28.316847, "L", "is", "gauge.stone-20", "1 ft³"),
        (29.57353, "ml", "aci", "admixture.plasticiser", "1 fl oz"),
        (1.488164, "kg/m", "aci", "", "1 lb/ft"),
        (3.785412, "L", "aci", "water", "1 gal"),
        (0.3048, "m", "aci", "measured.edge.1", "1 ft"),
        (6.45, "m³", "en", "sand", ""),
        ("a word", "m³", "aci", "sand", ""),
        (3.0, "no.", "aci", "chairs", ""),
    ],
)
def test_quantity_in_the_units_of_the_trade(value, unit, profile, key, shown):
    assert trade.trade(FRAME, value, unit, profile, key).replace("\N{NO-BREAK SPACE}", " ") == shown
