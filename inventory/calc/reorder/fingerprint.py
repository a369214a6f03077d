"""A stable name for a set of inputs: the same inputs, the same fingerprint, on any machine and any day."""

import json
from collections.abc import Mapping, Sequence, Set
from dataclasses import fields, is_dataclass
from datetime import date
from hashlib import sha256


def of(value: object) -> str:
    """Hash a value made of dataclasses, mappings, sequences, sets, dates, text, integers, booleans and None.

    The value is written as JSON in one way only: keys sorted, no spaces, dates as ISO 8601, sets sorted.
    Sequences keep their order, so sort them first where the order means nothing.
    Source: derived: SHA-256 (FIPS 180-4) of canonical JSON.

    Args:
        value: the inputs.

    Returns:
        64 hexadecimal digits.

    Raises:
        TypeError: the value holds something else, such as a float, whose text is not sure to be stable.

    >>> of({"b": 1, "a": date(2025, 3, 1)}) == of({"a": date(2025, 3, 1), "b": 1})
    True
    >>> of(frozenset())[:8]
    '4f53cda1'
    """
    text = json.dumps(_plain(value), sort_keys=True, separators=(",", ":"), ensure_ascii=True)
    return sha256(text.encode("ascii")).hexdigest()


def _plain(value: object) -> object:
    if value is None or isinstance(value, str | int):
        return value
    if isinstance(value, date):
        return value.isoformat()
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
    return _plain_many(value)


def _plain_many(value: object) -> object:
    if isinstance(value, Mapping):
        return {_text(key): _plain(item) for key, item in value.items()}
    if isinstance(value, Set):
        return sorted((_plain(item) for item in value), key=lambda item: json.dumps(item, sort_keys=True))
    if isinstance(value, Sequence) and not isinstance(value, bytes | bytearray):
        return [_plain(item) for item in value]
    raise TypeError(f"{type(value).__name__} has no stable text; give integers, text, dates or dataclasses")


def _text(key: object) -> str:
    if not isinstance(key, str):
        raise TypeError(f"key {key!r} must be text")
    return key
