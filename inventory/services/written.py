"""Acts as they are kept until they are posted, and read back.

They are JSON in which figures, days and moments are text, so that nothing is rounded.
"""

from __future__ import annotations

import types
from dataclasses import asdict, is_dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any, TypeVar, get_args, get_origin, get_type_hints

A = TypeVar("A")

_TEXTS: dict[type, Any] = {Decimal: Decimal, datetime: datetime.fromisoformat, date: date.fromisoformat}
"""What is kept as text, and how it is read back."""


def plain(act: Any) -> dict[str, Any]:
    """Write an act, a frozen dataclass of dataclasses, as JSON has it."""
    return {name: _plain(value) for name, value in asdict(act).items()}


def read(kind: type[A], kept: dict[str, Any]) -> A:
    """Read an act of this kind back as it was sent; what it has learnt to say since then has its default."""
    hints = get_type_hints(kind)
    return kind(**{name: _read(hints[name], value) for name, value in kept.items()})


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {name: _plain(one) for name, one in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(one) for one in value]
    if isinstance(value, datetime | date):
        return value.isoformat()
    return str(value) if isinstance(value, Decimal) else value


def _read(hint: Any, kept: Any) -> Any:
    if kept is None:
        return None
    if get_origin(hint) is types.UnionType:
        (hint,) = (one for one in get_args(hint) if one is not type(None))
    if get_origin(hint) is tuple:
        return tuple(_read(get_args(hint)[0], one) for one in kept)
    if is_dataclass(hint) and isinstance(hint, type):
        return read(hint, kept)
    return _TEXTS[hint](kept) if hint in _TEXTS else kept
