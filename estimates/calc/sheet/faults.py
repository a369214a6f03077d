"""Faults of a design sheet: where, what, and what to do. Nothing is repaired."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from pydantic import ValidationError

_LONGEST_VALUE: Final = 60
_KEY: Final = "[key]"
_UNION_TAGS: Final = frozenset({"nominal_volume", "nominal_mass", "designed"})
_PLACES: Final = frozenset({"outline", "region", "start", "end"})
_UNITS: Final = (
    ("_kg_m3", "kg/m³"),
    ("_kg_l", "kg/L"),
    ("_m3", "m³"),
    ("_percent", "%"),
    ("_ml_per_bag", "ml"),
    ("_c", "°C"),
    ("_mm", "mm"),
    ("_kg", "kg"),
    ("_deg", "°"),
    ("_percent", "%"),
)


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault: `path` in the sheet, as "beams[2].depth_mm", a stable `code`, and a sentence."""

    path: str
    code: str
    message: str


class SheetFaults(ValueError):  # noqa: N818 - the name says that it holds all of them
    """A sheet that cannot be used, with every fault found in it."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(f"{fault.path or 'sheet'}: {fault.message}" for fault in self.faults))


def path_of(location: Sequence[int | str]) -> str:
    """Writes a place in the sheet as people read it.

    Source: derived: the notation of JavaScript and of JSON tools.

    Args:
        location: names and indices from the top of the sheet down.

    Returns:
        The path, empty for the sheet itself.

    >>> path_of(["beams", 2, "depth_mm"])
    'beams[2].depth_mm'
    """
    path = ""
    for step in location:
        if isinstance(step, int):
            path += f"[{step}]"
        else:
            path += f".{_text(step)}" if path else _text(step)
    return path


def show(value: object) -> str:
    """A value as it stands in a message, cut when long.

    Source: derived: so that a message stays one line.

    Args:
        value: whatever was in the sheet.

    Returns:
        Its text.

    >>> show(125.0), show("a" * 5)
    ('125', "'aaaaa'")
    """
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        return str(int(value))
    if isinstance(value, int) and not isinstance(value, bool) and value.bit_length() > 200:
        return "a number of more than 60 digits"
    if isinstance(value, dict):
        return "a group of fields"
    if isinstance(value, list | tuple):
        return f"a list of {len(value)}"
    return f"'{_text(value)}'" if isinstance(value, str) else _text(repr(value))


def from_validation(error: ValidationError) -> list[Fault]:
    """Turns the faults of the schema into ours: field, value, bound and remedy in one sentence.

    Source: derived: the bounds are those of the sheet's types.

    Args:
        error: what the validation of a whole sheet found.

    Returns:
        The faults in the order of the sheet. A list that is short only because its items are faulty is
        not blamed for its length.

    >>> from pydantic import TypeAdapter
    >>> try:
    ...     TypeAdapter(dict[str, int]).validate_python({"days": "x"}, strict=True)
    ... except ValidationError as error:
    ...     from_validation(error)[0].message
    "days 'x' must be a whole number; write it without quotation marks or decimals"
    """
    found = []
    for row in error.errors(include_url=False):
        location = _location(row["loc"])
        context: Mapping[str, Any] = row.get("ctx", {})
        if row["type"] == "too_short" and len(row["input"]) >= context["min_length"]:
            continue
        code, sentence = _sentence(row["type"], context, location=location, value=row["input"])
        found.append(Fault(path_of([step for step in location if step != _KEY]), code, sentence))
    return found


def _location(steps: Sequence[int | str]) -> list[int | str]:
    """The place in the sheet: the mix's kind, which the validation puts into the way, is no step of it."""
    tagged = len(steps) > 1 and steps[0] == "mix" and steps[1] in _UNION_TAGS
    return [*steps[:1], *steps[2:]] if tagged else list(steps)


def _sentence(
    kind: str, context: Mapping[str, Any], *, location: Sequence[int | str], value: object
) -> tuple[str, str]:
    if location and location[-1] == _KEY:
        return "unknown_field", f"{show(value)} is no name here; use {context.get('expected', 'text')}"
    name = _name(location)
    if kind == "missing":
        return "missing", f"{name} is missing; add it"
    if kind in {"unexpected_keyword_argument", "invalid_key"}:
        return "unknown_field", f"{name} is not a field of this sheet; take it out or correct its spelling"
    code, demand = _demand(kind, context, unit=_unit(location))
    shown = repr(value) if kind == "int_type" and isinstance(value, float) else show(value)
    return code, f"{name} {shown} {demand}"


def _demand(kind: str, context: Mapping[str, Any], *, unit: str) -> tuple[str, str]:
    for rule, code, words in _BOUNDS:
        if rule in context:
            bound = context[rule] if isinstance(context[rule], str) else show(context[rule])
            return code, words.format(bound=bound, unit=unit).replace(" ;", ";")
    return _KINDS.get(kind, ("wrong_type", "has the wrong form; write it as the published schema says"))


def _text(value: str) -> str:
    """One line that any output can hold, cut when long."""
    text = value if value.isprintable() else ascii(value)[1:-1]
    return text if len(text) < _LONGEST_VALUE else text[: _LONGEST_VALUE - 1] + "…"


_BOUNDS: Final = (
    ("ge", "too_small", "must be at least {bound} {unit}; correct the number"),
    ("gt", "too_small", "must be more than {bound} {unit}; correct the number"),
    ("le", "too_large", "must be at most {bound} {unit}; correct the number"),
    ("expected_tags", "not_a_choice", "must have a kind, one of {bound}; choose one"),
    ("expected", "not_a_choice", "must be {bound}; choose one of these"),
    ("min_length", "too_short", "must have at least {bound} entries; complete it"),
    ("max_length", "too_long", "must have at most {bound} entries or characters; shorten or split it"),
)

_FORM = (
    "does not have the form of this field: names are not blank, marks hold no blanks, no text holds control "
    'characters, grades read as "M20" and "Fe500", "C25/30" and "B500B", or "4000 psi" and "Grade 60"; '
    "correct it"
)
_LISTS = ("wrong_type", "must be a list in square brackets; correct it")
_GROUPS = ("wrong_type", "must be a group of named fields in braces; correct it")
_KINDS: Final = {
    "float_type": ("wrong_type", "must be a number; write it without quotation marks"),
    "int_type": ("wrong_type", "must be a whole number; write it without quotation marks or decimals"),
    "finite_number": ("not_finite", "must be a finite number; write the real figure"),
    "bool_type": ("wrong_type", "must be true or false; write one of them without quotation marks"),
    "string_type": ("wrong_type", "must be text; write it in quotation marks"),
    "string_unicode": ("wrong_type", "must be readable text; write it again"),
    "string_pattern_mismatch": ("bad_text", _FORM),
    "bad_date": ("bad_date", "must be a calendar date; write it as 2026-03-12"),
    "date_from_datetime_parsing": ("bad_date", "must be a calendar date; write it as 2026-03-12"),
    "tuple_type": _LISTS,
    "named_tuple_type": _LISTS,
    "dataclass_type": _GROUPS,
    "dict_type": _GROUPS,
    "mapping_type": _GROUPS,
    "union_tag_not_found": (
        "missing",
        'has no kind; add "kind": "nominal_volume", "nominal_mass" or "designed"',
    ),
}


def _name(location: Sequence[int | str]) -> str:
    """The field, and the entry when the fault is in one of a list, as "outline entry 3"."""
    field = next((step for step in reversed(location) if isinstance(step, str)), None)
    if field is None:
        return "the sheet"
    last = location[-1]
    return f"{_text(field)} entry {last + 1}" if isinstance(last, int) else _text(field)


def _unit(location: Sequence[int | str]) -> str:
    field = next((step for step in reversed(location) if isinstance(step, str)), "")
    if field in _PLACES or "dimensions" in location:
        return "mm"
    return next((unit for ending, unit in _UNITS if field.endswith(ending)), "")
