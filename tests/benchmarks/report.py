"""Times of pieces of work, side by side in one process, and the table that shows them."""

from __future__ import annotations

import gc
import time
from collections.abc import Callable, Mapping


def beside(works: Mapping[str, Callable[[], object]], *, rounds: int) -> dict[str, float]:
    """Return the least milliseconds of each work, when nothing disturbs it; they take turns."""
    spent: dict[str, list[float]] = {name: [] for name in works}
    for work in works.values():
        work()
    gc.collect()
    for _round in range(rounds):
        for name, work in works.items():
            start = time.perf_counter()
            work()
            spent[name].append((time.perf_counter() - start) * 1000)
    return {name: min(times) for name, times in spent.items()}


def show(capsys, record_property, *, title: str, figures: Mapping[str, object]) -> None:
    """Print the figures as a table and keep them with the test's result."""
    width = max(map(len, figures))
    lines = [f"  {name:<{width}}  {_written(figure)}" for name, figure in figures.items()]
    for name, figure in figures.items():
        record_property(name, figure)
    with capsys.disabled():
        print("", title, *lines, sep="\n")  # noqa: T201 - a report


def _written(figure: object) -> str:
    return f"{figure:.2f}" if isinstance(figure, float) else str(figure)
