"""Takes off a design sheet and prints its bill; touches no database."""

import json
import sys
from argparse import ArgumentParser
from collections.abc import Sequence
from pathlib import Path
from typing import Any, NoReturn

from django.core.management.base import BaseCommand
from django.utils.translation import gettext as _

from estimates.calc import bill
from estimates.calc.bill import Line, TakeOff
from estimates.calc.checks import casting as checks
from estimates.calc.checks.casting import Finding
from estimates.calc.reading import reader as sheets
from estimates.calc.reading.reader import DesignSheet, SheetFaults
from estimates.standards import load

BAD_SHEET = 2
DECIMALS = {"m³": 3, "m²": 2, "m": 2, "kg": 2, "L": 1}


class Command(BaseCommand):
    """`manage.py takeoff SHEET`: the bill of a design sheet as a table or as JSON."""

    help = "Print the bill of quantities of a design sheet, without touching the database."
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        """The sheet's path and the format."""
        parser.add_argument("sheet", type=Path, help=_("path of the design sheet, a JSON file"))
        parser.add_argument("--format", choices=("table", "json"), default="table")

    def handle(self, *args: object, **options: Any) -> None:
        """Prints the bill; on a faulty sheet prints every fault and leaves with 2."""
        del args
        sheet = self._read(options["sheet"])
        profile = load.profile(sheet.profile)
        try:
            takeoff = bill.compute(sheet, profile=profile)
            found = checks.find(sheet, profile=profile)
        except load.StandardsError as lack:
            self._refuse([_("The standards data cannot work this sheet out: %(why)s.") % {"why": lack}])
        if options["format"] == "json":
            self.stdout.write(json.dumps(_as_data(sheet, takeoff, found), ensure_ascii=False, indent=2))
        else:
            self.stdout.write("\n".join(_as_table(sheet, takeoff, found)))

    def _read(self, path: Path) -> DesignSheet:
        try:
            return sheets.read(path.read_text(encoding="utf-8"))
        except OSError as error:
            self._refuse([_("%(path)s cannot be read: %(why)s") % {"path": path, "why": error.strerror}])
        except UnicodeDecodeError:
            self._refuse([_("%(path)s is not UTF-8 text; save it as UTF-8.") % {"path": path}])
        except SheetFaults as refused:
            head = _("%(path)s: %(count)s faults, nothing was taken off") % {
                "path": path,
                "count": len(refused.faults),
            }
            self._refuse(
                [head, *(f"  {fault.path or _('sheet')}: {fault.message}" for fault in refused.faults)]
            )

    def _refuse(self, lines: Sequence[str]) -> NoReturn:
        self.stderr.write("\n".join(lines))
        sys.exit(BAD_SHEET)


def _as_data(sheet: DesignSheet, takeoff: TakeOff, found: Sequence[Finding]) -> dict[str, Any]:
    drawing = sheet.drawing
    return {
        "sheet": {
            "slab": sheet.slab,
            "drawing": drawing.number,
            "revision": drawing.revision,
            "digest": takeoff.sheet,
        },
        "profile": takeoff.profile,
        "edition": takeoff.edition,
        "lines": [line.as_dict() for line in takeoff.lines],
        "findings": [finding.as_dict() for finding in found],
        "cautions": list(_cautions()),
    }


def _as_table(sheet: DesignSheet, takeoff: TakeOff, found: Sequence[Finding]) -> list[str]:
    drawing = sheet.drawing
    title = _("%(slab)s, drawing %(number)s revision %(revision)s") % {
        "slab": sheet.slab,
        "number": drawing.number,
        "revision": drawing.revision or "-",
    }
    basis = _("profile %(profile)s, edition %(edition)s") % {
        "profile": takeoff.profile,
        "edition": takeoff.edition,
    }
    heads = (_("key"), _("member"), _("net"), _("allowance"), _("order"), _("unit"), _("pack"), _("surplus"))
    rows = [heads, *(_row(line) for line in takeoff.lines)]
    lines = [title, basis, "", *_aligned(rows), ""]
    if found:
        lines += [_("Findings"), *(_finding(finding) for finding in found), ""]
    return [*lines, *_cautions()]


def _row(line: Line) -> tuple[str, ...]:
    if line.material is None:
        return (line.key, line.member, _number(line.net, line.unit), "", "", line.unit, "", "")
    pack, surplus = "", ""
    if line.pack is not None:
        pack = f"{line.packs} × {line.pack.name}, {line.pack.content:.4g} {line.pack.unit}"
        surplus = _number(line.surplus, line.unit)
    numbers = (_number(value, line.unit) for value in (line.net, line.allowance, line.order))
    return (line.key, line.member, *numbers, line.unit, pack, surplus)


def _number(value: float, unit: str) -> str:
    return f"{value:,.{DECIMALS.get(unit, 3)}f}"


def _aligned(rows: Sequence[Sequence[str]]) -> list[str]:
    """Columns two blanks apart, numbers to the right."""
    widths = [max(len(cell) for cell in column) for column in zip(*rows, strict=True)]
    to_the_right = {2, 3, 4, 7}
    lines = []
    for row in rows:
        cells = [
            cell.rjust(width) if index in to_the_right else cell.ljust(width)
            for index, (cell, width) in enumerate(zip(row, widths, strict=True))
        ]
        lines.append("  ".join(cells).rstrip())
    return lines


def _finding(finding: Finding) -> str:
    words = {"stop": _("stop"), "warn": _("warning"), "note": _("note")}[finding.severity]
    return f"  {words}: {_(finding.template) % finding.params} [{finding.source}]"


def _cautions() -> tuple[str, ...]:
    return (
        _("These quantities serve ordering and cost control. They follow the sheet and check no strength."),
        _("Design, formwork and props, and their removal are for the licensed engineer and the local code."),
        _("Cement burns skin and eyes. Wet concrete, formwork and falls kill: keep the local safety rules."),
    )
