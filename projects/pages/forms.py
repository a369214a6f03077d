"""Plain forms drawn the sheet's way: visible labels, hints, errors in words, and nothing lost when refused.

A form knows nothing of models. Fields of quantity and money take what people type (grouping of the locale,
blanks, the unit behind the figure) and clean to integers of the stock unit or of the minor unit.
"""

from __future__ import annotations

import re
import uuid
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

from babel import Locale
from babel.numbers import NumberFormatError, get_currency_precision, get_currency_symbol, parse_decimal
from django import forms
from django.forms.renderers import DjangoTemplates
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from projects.errors import Refused
from projects.pages import figures

LARGEST = 10**15
"""More stock units than any site will ever hold; still exact in 64 bits."""

LONGEST_FIGURE = 1_000
"""Characters of the longest figure that is read, with its blanks and its unit."""

FIRST_YEAR, LAST_YEAR = 1990, 2199
"""Days of this trade lie between these years; beyond them calendars cannot count in every time zone."""

_BLANKS = re.compile(r"[\s\u00a0\u202f']")
_FIGURE = re.compile(r"^([+-]?[\d.,'\s\u00a0\u202f]*\d)\s*([^\d\s.,].*)?$")


class SheetRenderer(DjangoTemplates):
    """Draws forms and fields from projects/forms/."""

    form_template_name = "projects/forms/form.html"
    field_template_name = "projects/forms/field.html"


class SheetForm(forms.Form):
    """A form on the sheet; `locale` is the firm's, for figures as people type them."""

    default_renderer = SheetRenderer
    required_css_class = "required"

    def __init__(self, *args: Any, locale: str | None = None, **kwargs: Any) -> None:
        kwargs.setdefault("label_suffix", "")
        super().__init__(*args, **kwargs)
        chosen = figures.locale_for(locale) if locale else figures.locale_now()
        for field in self.fields.values():
            field.error_messages["required"] = _("Fill this in.")
            if isinstance(field, FigureField):
                field.localise(chosen)

    def clean(self) -> dict[str, Any]:
        """Refuse days and times out of reason, such as a year that was not typed to its end."""
        typed: dict[str, Any] = super().clean() or self.cleaned_data
        for name, value in list(typed.items()):
            if isinstance(value, date) and not FIRST_YEAR <= value.year <= LAST_YEAR:
                message = _("The year %(year)s must lie between %(first)s and %(last)s. Correct it.")
                params = {"year": value.year, "first": FIRST_YEAR, "last": LAST_YEAR}
                self.add_error(name, forms.ValidationError(message, code="out_of_reason", params=params))
        return typed

    def refuse(self, refused: Refused) -> None:
        """Show why an act was refused, at the field at fault where the form has it."""
        field = refused.field if refused.field in self.fields else None
        self.add_error(field, refused.message)

    @property
    def faults(self) -> list[dict[str, str]]:
        """List every error with the place to mend it, for the summary at the top of the form."""
        found = []
        for name, messages in self.errors.items():
            bound = self[name] if name in self.fields else None
            target = _first_box(bound) if bound and not bound.is_hidden else ""
            label = str(bound.label) if bound else ""
            found += [{"target": target, "label": label, "message": str(m)} for m in messages]
        return found


def _first_box(bound: forms.BoundField) -> str:
    """Give the id of a field's box; of the first one when it is a set of choices."""
    return bound.id_for_label or f"{bound.auto_id}_0"


class ActForm(SheetForm):
    """A form that records an act: it carries the act's key, so that sending it twice counts once."""

    key = forms.UUIDField(widget=forms.HiddenInput)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["key"].initial = uuid.uuid4


class FigureField(forms.CharField):
    """A number typed by a person; cleans to a whole number of the smallest unit.

    `scale` of the smallest units make one of the unit shown behind the box.
    """

    default_error_messages = {
        "not_a_figure": _("“%(typed)s” is not a number. Write it like %(example)s."),
        "other_unit": _("“%(typed)s” is in another unit. Give the figure in %(unit)s."),
        "too_fine": _("%(typed)s is finer than can be kept. Give at most %(places)s decimals."),
        "too_small": _("%(typed)s is too small. The least is %(bound)s %(unit)s."),
        "too_large": _("%(typed)s is too large. The most is %(bound)s %(unit)s."),
    }

    def __init__(
        self, *, unit_shown: str | Promise, scale: int, least: int = 0, most: int = LARGEST, **kwargs: Any
    ) -> None:
        self.unit_shown = unit_shown
        self.scale = scale
        self.least = least
        self.most = most
        self.locale = figures.locale_now()
        super().__init__(**kwargs)
        mode = "numeric" if scale == 1 and least >= 0 else "decimal" if least >= 0 else "text"
        self.widget.attrs |= {"inputmode": mode, "autocomplete": "off"}

    @property
    def places(self) -> int:
        """The number of decimals that one smallest unit needs."""
        return len(str(self.scale)) - 1

    def localise(self, locale: Locale) -> None:
        """Read and write figures as this locale does."""
        self.locale = locale

    def prepare_value(self, value: Any) -> Any:
        """Show an initial integer in the shown unit; what was typed stays as typed."""
        if isinstance(value, int):
            return self._written(value)
        return value

    def has_changed(self, initial: Any, data: Any) -> bool:
        return super().has_changed(self.prepare_value(initial), data)

    def clean(self, value: Any) -> Any:
        typed = super().clean(value)
        if not typed:
            return None
        return self._bounded(self._whole(self._parsed(typed), typed=typed), typed=typed)

    def _parsed(self, typed: str) -> Decimal:
        match = _FIGURE.match(typed) if len(typed) <= LONGEST_FIGURE else None
        if not match:
            raise self._not_a_figure(typed)
        figure, unit = match.groups()
        if unit and not self._same_unit(unit.strip()):
            raise self._fault("other_unit", typed=typed, unit=self.unit_shown)
        try:
            return parse_decimal(_BLANKS.sub("", figure), locale=self.locale, strict=True)
        except NumberFormatError:
            raise self._not_a_figure(typed) from None

    def _same_unit(self, unit: str) -> bool:
        plain = str(self.unit_shown).casefold().rstrip(".").replace("³", "3").replace("²", "2")
        return unit.casefold().rstrip(".").replace("³", "3").replace("²", "2") in {plain, f"{plain}s"}

    def _whole(self, figure: Decimal, *, typed: str) -> int:
        exact = Fraction(figure) * self.scale  # a product of decimals would be rounded to 28 digits
        if exact.denominator != 1:
            raise self._fault("too_fine", typed=typed, places=self.places)
        return exact.numerator

    def _bounded(self, whole: int, *, typed: str) -> int:
        if whole < self.least:
            raise self._fault("too_small", typed=typed, bound=self._written(self.least), unit=self.unit_shown)
        if whole > self.most:
            raise self._fault("too_large", typed=typed, bound=self._written(self.most), unit=self.unit_shown)
        return whole

    def _written(self, whole: int) -> str:
        amount = Decimal(whole) / self.scale
        decimals = 0 if amount == amount.to_integral_value() else self.places
        return figures.decimal_text(amount, places=decimals, locale=self.locale)

    def _not_a_figure(self, typed: str) -> forms.ValidationError:
        return self._fault("not_a_figure", typed=typed, example=self._written(1234 * self.scale))

    def _fault(self, code: str, **params: Any) -> forms.ValidationError:
        return forms.ValidationError(self.error_messages[code], code=code, params=params)


class QuantityField(FigureField):
    """A quantity of a stock unit, typed in its display unit; cleans to stock units.

    `least` and `most` are in stock units; `QuantityField(stock_unit="g")` reads kilograms.
    """

    def __init__(self, *, stock_unit: str, **kwargs: Any) -> None:
        unit = figures.stock_unit(stock_unit)
        super().__init__(unit_shown=unit.shown, scale=unit.scale, **kwargs)


class CountField(FigureField):
    """A number of whole things such as bags or bars; `of` names them behind the box."""

    def __init__(self, *, of: str | Promise, **kwargs: Any) -> None:
        super().__init__(unit_shown=of, scale=1, **kwargs)


class MoneyField(FigureField):
    """An amount of money; cleans to the currency's minor unit.

    `extra_places` widens it for rates: 4 reads a rate as 1/10,000 of the minor unit.
    """

    def __init__(self, *, currency: str, extra_places: int = 0, **kwargs: Any) -> None:
        self.currency = currency
        places = get_currency_precision(currency) + extra_places
        super().__init__(unit_shown=currency, scale=10**places, **kwargs)

    def localise(self, locale: Locale) -> None:
        super().localise(locale)
        self.unit_shown = get_currency_symbol(self.currency, locale=locale)
