"""Design sheets as JSON text: strict to read, canonical to write."""

import json
from collections.abc import Sequence
from typing import Any, Final, NoReturn

from estimates.calc.sheet import types
from estimates.calc.sheet.faults import Fault, SheetFaults, show

_INDENT: Final = 2


def load(text: str) -> Any:
    """Reads JSON and refuses what JSON readers usually let pass: doubled fields, NaN, endless nesting.

    Source: RFC 8259; what it leaves open is refused here.

    Args:
        text: the sheet's text.

    Returns:
        The data, of whatever form.

    Raises:
        SheetFaults: the text is no JSON, says a field twice, or is too long.

    >>> load('{"thickness_mm": 125}')
    {'thickness_mm': 125}
    """
    if len(text) > types.MAX_SHEET_CHARACTERS:
        _refuse(
            "too_long",
            f"the sheet has {len(text)} characters, at most {types.MAX_SHEET_CHARACTERS} are read; split it",
        )
    try:
        return json.loads(text, object_pairs_hook=_group, parse_constant=_constant)
    except json.JSONDecodeError as error:
        place = f"line {error.lineno}, column {error.colno}"
        _refuse("not_json", f"the sheet is not JSON at {place} ({error.msg}); correct it there")
    except RecursionError:
        _refuse("too_deep", "the sheet nests groups too deep; write it as the published schema says")
    except SheetFaults:
        raise
    except ValueError:  # Python refuses whole numbers of several thousand digits
        _refuse("too_large", "the sheet holds a number of thousands of digits; write the real figure")


def dump(data: Any) -> str:
    r"""Writes data as JSON with whole numbers written whole.

    Source: derived: the same design gives the same text, so that texts can be compared.

    Args:
        data: groups, lists, texts and finite numbers.

    Returns:
        The text.

    >>> dump({"thickness_mm": 125.0})
    '{\n  "thickness_mm": 125\n}'
    """
    return json.dumps(_whole(data), ensure_ascii=False, indent=_INDENT)


def _whole(data: Any) -> Any:
    if isinstance(data, dict):
        return {name: _whole(value) for name, value in data.items()}
    if isinstance(data, list):
        return [_whole(value) for value in data]
    return int(data) if isinstance(data, float) and data.is_integer() else data


def _group(pairs: Sequence[tuple[str, Any]]) -> dict[str, Any]:
    group = dict(pairs)
    if len(group) < len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        _refuse("duplicate_field", f"the field {show(twice)} stands twice in one group; keep one of them")
    return group


def _constant(name: str) -> NoReturn:
    _refuse("not_finite", f"the sheet holds {name}, which is no number; write the real figure")


def _refuse(code: str, message: str) -> NoReturn:
    raise SheetFaults([Fault("", code, message)])
