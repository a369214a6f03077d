"""A file that somebody sends, read whatever its kind is, and as text that can be kept."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from pydantic import TypeAdapter

from estimates.calc.intake import csv_table, kinds, schedule, xlsx_table
from estimates.calc.intake.found import Unreadable, refuse
from estimates.calc.intake.kinds import Kind
from estimates.calc.intake.plan import Plan
from estimates.calc.intake.schedule import Schedule
from estimates.calc.sheet import text as sheet_text
from estimates.calc.sheet.faults import SheetFaults


@dataclass(frozen=True, slots=True, kw_only=True)
class FileFound:
    """What one file gives: a drawing, a bar schedule, or a design sheet as data."""

    kind: Kind
    plan: Plan | None = None
    schedule: Schedule | None = None
    sheet: Mapping[str, Any] | None = None


_FOUND: Final = TypeAdapter(FileFound)


def read(content: bytes, *, name: str) -> FileFound:
    r"""Reads a file by its content.

    Source: derived: see the readers of each kind.

    Args:
        content: the file.
        name: its name as sent, which must fit the content.

    Returns:
        What it gives.

    Raises:
        Unreadable: it cannot be read at all, with the reasons.

    >>> read(b"Mark,Size,Shape,A\nS1,T10,straight,3920\n", name="bars.csv").schedule.rows[0].mark
    'S1'
    """
    kind = kinds.kind_of(content, name=name)
    if kind == "csv":
        return FileFound(kind=kind, schedule=schedule.of_tables([csv_table.read(content)]))
    if kind == "xlsx":
        return FileFound(kind=kind, schedule=schedule.of_tables(xlsx_table.read(content)))
    if kind == "json":
        return FileFound(kind=kind, sheet=_sheet(content))
    if kind == "dxf":
        from estimates.calc.intake import dxf  # noqa: PLC0415 - a heavy library that other kinds do not need

        return FileFound(kind=kind, plan=dxf.read(content))
    from estimates.calc.intake import ifc  # noqa: PLC0415 - a heavy library that other kinds do not need

    plan, bars = ifc.read(content)
    return FileFound(kind=kind, plan=plan, schedule=bars)


def to_json(found: FileFound) -> bytes:
    """Writes what was found as JSON that `of_json` gives back.

    Source: derived.

    Args:
        found: what a file gave.

    Returns:
        The text.
    """
    return _FOUND.dump_json(found)


def of_data(data: Mapping[str, Any]) -> FileFound:
    """Takes what was found out of the data that JSON gives.

    Source: derived.

    Args:
        data: as `to_json` wrote it.

    Returns:
        What a file gave.
    """
    return _FOUND.validate_python(data)


def _sheet(content: bytes) -> Mapping[str, Any]:
    try:
        found = sheet_text.load(content.decode("utf-8-sig"))
    except UnicodeDecodeError as error:
        raise refuse("not_text", "the file is not text in UTF-8; save it again as a JSON file") from error
    except SheetFaults as refused:
        message = "; ".join(fault.message for fault in refused.faults)
        raise refuse("not_a_sheet", message) from refused
    if not isinstance(found, dict):
        raise refuse("not_a_sheet", "a design sheet is a group of named fields in braces; send one")
    return found


__all__ = ["FileFound", "Unreadable", "of_data", "read", "to_json"]
