"""Boxes for plain figures of a mix: typed as the firm writes them, read as numbers."""

from __future__ import annotations

from typing import Any

from django.utils.functional import Promise

from projects.pages.forms import FigureField

THOUSANDTHS = 1_000


class NumberField(FigureField):
    """A figure with up to three decimals; cleans to a float, None when left empty."""

    def __init__(self, *, unit: str | Promise = "", least: float, most: float, **kwargs: Any) -> None:
        super().__init__(
            unit_shown=unit,
            scale=THOUSANDTHS,
            least=round(least * THOUSANDTHS),
            most=round(most * THOUSANDTHS),
            **kwargs,
        )

    def clean(self, value: Any) -> Any:
        found = super().clean(value)
        return None if found is None else found / THOUSANDTHS
