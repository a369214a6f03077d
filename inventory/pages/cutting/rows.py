"""What the pages of cutting show of a plan: patterns with their pictures and words."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext as _

from inventory.calc import bar_picture
from inventory.services.cutting import inputs

KINDS = {
    "asked": "none",
    "solving": "none",
    "proposed": "warning",
    "reserved": "warning",
    "done": "enough",
    "cancelled": "none",
    "failed": "stop",
}
"""Which mark a plan's state carries."""


def metres(mm: int) -> str:
    """Write a length of bars as people call it: 12 m, 6.1 m."""
    return f"{mm / 1_000:.3f}".rstrip("0").rstrip(".") + "\N{NO-BREAK SPACE}m"


def sizes(sheet: Any) -> list[dict[str, Any]]:
    """Say what a plan comes to, size by size, with every pattern as a picture."""
    longest = max((one.row.bar_length_mm for one in sheet.patterns), default=1)
    several = len({piece.need.slab_id for one in sheet.patterns for piece in one.pieces}) > 1
    return [
        {
            "size": size,
            "mass": {
                name: size.mass_g(mm)
                for name, mm in (
                    ("taken", size.taken_mm),
                    ("pieces", size.result.pieces_mm),
                    ("kept", size.result.kept_mm),
                    ("lost", size.lost_mm),
                )
            },
            "lost_percent": size.lost_ppm / 10_000,
            "proof": proof(size),
            "to_buy": [(number, metres(mm)) for mm, number in size.to_buy.items()],
            "patterns": [pattern(one, longest=longest, several=several) for one in size.patterns],
        }
        for size in sheet.sizes
    ]


def pattern(one: Any, *, longest: int, several: bool) -> dict[str, Any]:
    """Draw a pattern and say it in words."""
    row = one.row
    picture = bar_picture.draw(
        [(piece.need.mark, piece.need.length_mm, piece.per_bar) for piece in one.pieces],
        bar_mm=row.bar_length_mm,
        rest_mm=row.rest_mm,
        kept=row.rest_kept,
        longest_mm=longest,
    )
    return {
        "pattern": one,
        "row": row,
        "picture": picture,
        "length": metres(row.bar_length_mm),
        "pieces": [
            {
                "number": piece.per_bar,
                "mark": piece.need.mark,
                "length_mm": piece.need.length_mm,
                "slab": piece.need.slab.name if several else "",
            }
            for piece in one.pieces
        ],
    }


def proof(size: Any) -> dict[str, Any]:
    """Say how good the plan of a size is: the bound beside it, the gap, and what found it."""
    figures = size.result.figures
    words = _("proven: no plan takes less new steel")
    if not figures["proven"]:
        gap = f"{figures['gap'] * 100:.2f}"
        words = _("at most %(gap)s %% above the bound that no plan can pass") % {"gap": gap}
    if not figures["patterns_kept"]:
        words = f"{words}; " + _("no plan was found with so few patterns")
    return {
        "words": words,
        "kind": "enough" if figures["proven"] else "warning",
        "bound": _bound(size, figures=figures),
        "method": figures["method"],
        "seconds": figures["seconds"],
    }


def _bound(size: Any, *, figures: dict[str, Any]) -> str:
    """Say what the plan takes and what no plan can go below, in the way in which the search counted."""
    origins = {one.row.origin for one in size.patterns}
    bought = "buy" in origins
    weight = inputs.BUYING_WEIGHS if bought and "bar" not in origins else 1
    takes, least = (metres(round(figures[name] / weight)) for name in ("cost", "bound"))
    if bought and "bar" in origins:
        text = _(
            "Bars in store come first, so a metre to buy counts as %(times)s: the plan comes to %(takes)s so "
            "counted, and no plan to less than %(least)s."
        )
        return text % {"times": inputs.BUYING_WEIGHS, "takes": takes, "least": least}
    if bought:
        text = _("It buys %(takes)s of bars; no plan buys less than %(least)s.")
    else:
        text = _("It takes %(takes)s of whole bars; no plan takes less than %(least)s.")
    return text % {"takes": takes, "least": least}
