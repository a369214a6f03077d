"""What the pages of cutting show of a plan: patterns with their pictures and words."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext as _

from inventory.calc import bar_picture

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
            "proof": proof(size.result),
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


def proof(result: Any) -> dict[str, Any]:
    """Say how good the plan is: the bound beside it, the gap, and what found it."""
    figures = result.figures
    words = _("proven: no plan takes less new steel")
    if not figures["proven"]:
        gap = f"{figures['gap'] * 100:.2f}"
        words = _("at most %(gap)s %% above the bound that no plan can pass") % {"gap": gap}
    if not figures["patterns_kept"]:
        words = f"{words}; " + _("no plan was found with so few patterns")
    return {
        "words": words,
        "kind": "enough" if figures["proven"] else "warning",
        "cost": round(figures["cost"]),
        "bound": round(figures["bound"]),
        "bound_bars": figures["bound_bars"],
        "method": figures["method"],
        "seconds": figures["seconds"],
    }
