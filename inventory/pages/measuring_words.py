"""The words of measuring: how a method and its readings are called on a page."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext as _

from inventory.calc.measuring import methods
from inventory.calc.measuring.methods import Method


def title(material: Any, *, method: str, name: str) -> str:
    """Name a reading; one that its method no longer asks for keeps its own name."""
    known = methods.of_material(material.code, stock_unit=material.stock_unit)
    asks = [ask for one in known if one.code == method for ask in one.asks]
    return next((str(_(ask.title)) for ask in asks if ask.name == name), name)


def find(material: Any, *, code: str) -> Method | None:
    """Find one of the material's methods."""
    known = methods.of_material(material.code, stock_unit=material.stock_unit)
    return next((method for method in known if method.code == code), None)
