"""The solver HiGHS as the search uses it: silent, on one core, and always by the same road."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import highspy
import numpy as np
import numpy.typing as npt

from estimates.calc.cutting.watch import Watch

INFINITY: Final = float(highspy.kHighsInf)
_PRIMAL_SIMPLEX: Final = 4
Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Improved:
    """Whole columns (None: none were found) and a bound on the cost, as the solver sees it."""

    values: Floats | None
    bound: float


class Program(highspy.Highs):
    """A linear or integer program that grows by columns."""

    def __init__(self) -> None:
        super().__init__()
        self.silent()
        for option, value in (("threads", 1), ("random_seed", 0), ("mip_rel_gap", 0.0)):
            self.setOptionValue(option, value)

    def enableCallbacks(self) -> None:  # noqa: N802 - HiGHS names it; without it, a banner goes to the terminal
        """Callbacks are asked for by `improve` alone."""

    def rows(self, lower: Sequence[float], upper: Sequence[float]) -> None:
        """Adds rows without entries, each with its least and its greatest value."""
        for least, most in zip(lower, upper, strict=True):
            self.addRow(least, most, 0, np.array([], dtype=np.int32), np.array([], dtype=np.float64))

    def column(self, cost: float, entries: Sequence[tuple[int, float]], *, most: float = INFINITY) -> None:
        """Adds a column from 0 to `most` with its entries (row, value)."""
        rows = np.array([row for row, _ in entries], dtype=np.int32)
        values = np.array([value for _, value in entries], dtype=np.float64)
        self.addCol(cost, 0.0, most, len(entries), rows, values)

    def relax(self) -> tuple[float, Floats, Floats]:
        """Solves the linear program from where the last solution stood: cost, columns, worth of the rows."""
        self.setOptionValue("simplex_strategy", _PRIMAL_SIMPLEX)
        self.setOptionValue("presolve", "off")
        self.run()
        solution = self.getSolution()
        return (
            float(self.getObjectiveValue()),
            np.nan_to_num(np.array(solution.col_value)),
            np.nan_to_num(np.array(solution.row_dual)),
        )

    def improve(
        self, *, watch: Watch, nodes: int, target: float = -INFINITY, start: Floats | None = None
    ) -> Improved:
        """Solves the program with all columns whole: the best found, from `start` on, and a bound.

        Ends at `nodes` nodes, which is the same on every machine, or when the watch says so.
        """
        columns = self.getNumCol()
        kinds = np.full(columns, int(highspy.HighsVarType.kInteger), dtype=np.uint8)
        self.changeColsIntegrality(columns, np.arange(columns, dtype=np.int32), kinds)
        for option, value in (("presolve", "on"), ("mip_max_nodes", nodes), ("objective_target", target)):
            self.setOptionValue(option, value)
        if start is not None:
            self.setSolution(columns, np.arange(columns, dtype=np.int32), start)
        self.setOptionValue("time_limit", watch.left)
        super().enableCallbacks()
        for moment in (self.cbMipInterrupt, self.cbSimplexInterrupt):
            moment.subscribe(lambda event: event.interrupt(watch.over()))
        self.run()
        info = self.getInfo()
        feasible = info.primal_solution_status == int(highspy.SolutionStatus.kSolutionStatusFeasible)
        values = np.rint(np.array(self.getSolution().col_value)) if feasible else None
        return Improved(values, float(info.mip_dual_bound))
