"""How every part of a design sheet is read: strictly, with its fields' own words as the schema's."""

from typing import Final

from pydantic import ConfigDict

_UNITS: Final = frozenset({"mm", "kg", "m3", "l", "ml", "deg"})


def _title(name: str, _field: object) -> str:
    """A field's name as a label: "dose_ml_per_bag" reads "Dose per bag"; its description has the unit."""
    words = " ".join(word for word in name.split("_") if word not in _UNITS)
    return words[:1].upper() + words[1:]


STRICT: Final = ConfigDict(
    extra="forbid", use_attribute_docstrings=True, allow_inf_nan=False, field_title_generator=_title
)
