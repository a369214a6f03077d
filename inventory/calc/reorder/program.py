"""Linear and integer programs on HiGHS: silent, on one core, ended by counts of nodes before time."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

import highspy
import numpy as np
import numpy.typing as npt

Clock = Callable[[], float]
"""Seconds that only grow; who asks for a plan brings the clock."""

INFINITY: Final = float(highspy.kHighsInf)
Floats = npt.NDArray[np.float64]
_ROAD: Final = (("output_flag", False), ("threads", 1), ("random_seed", 0), ("mip_rel_gap", 1e-6))
"""One thread everywhere: the scheduler of HiGHS is one to a process, and a second figure is not solved."""


@dataclass(frozen=True, slots=True)
class Solved:
    """What the solver found: values (None: nothing), their cost, a bound below, and whether it is proven."""

    values: Floats | None
    cost: float
    bound: float
    proven: bool


class _Quiet(highspy.Highs):
    """The solver, without a word to the terminal."""

    def __init__(self) -> None:
        super().__init__()
        for option, value in _ROAD:
            self.setOptionValue(option, value)

    def enableCallbacks(self) -> None:  # noqa: N802 - HiGHS names it; without it, a banner goes to the terminal
        """Nothing here asks for them."""


class Program:
    """A program in rows and columns, to be made smaller in cost."""

    def __init__(self) -> None:
        self._rows: list[tuple[float, float]] = []
        self._costs: list[float] = []
        self._most: list[float] = []
        self._whole: list[bool] = []
        self._entries: list[tuple[int, int, float]] = []

    @property
    def columns(self) -> int:
        """Columns so far."""
        return len(self._costs)

    def row(self, least: float = -INFINITY, most: float = INFINITY) -> int:
        """Add a row between two values; returns its number."""
        self._rows.append((least, most))
        return len(self._rows) - 1

    def column(
        self,
        cost: float,
        entries: Sequence[tuple[int, float]] = (),
        *,
        most: float | None = None,
        whole: bool = False,
    ) -> int:
        """Add a column from 0 to `most` with its entries (row, value); returns its number."""
        number = self.columns
        self._costs.append(cost)
        self._most.append(INFINITY if most is None else most)
        self._whole.append(whole)
        self._entries += [(row, number, value) for row, value in entries]
        return number

    def enter(self, row: int, column: int, value: float) -> None:
        """Add an entry to a column that is there."""
        self._entries.append((row, column, value))

    def solve(self, *, seconds: float = INFINITY, nodes: int | None = None) -> Solved:
        """Solve it; ends after so many seconds or nodes with what it has.

        No solution is given to start from: with presolve, HiGHS 1.16 has been seen to take a start's cost
        wrongly and to call a wrong bound proven (the exact plan's test finds it within thirty cases).
        """
        solver = _Quiet()
        if seconds < INFINITY:
            solver.setOptionValue("time_limit", max(0.1, seconds))
        if nodes is not None:
            solver.setOptionValue("mip_max_nodes", nodes)
        solver.passModel(self._model())
        solver.run()
        info = solver.getInfo()
        feasible = info.primal_solution_status == int(highspy.SolutionStatus.kSolutionStatusFeasible)
        proven = solver.getModelStatus() == highspy.HighsModelStatus.kOptimal
        cost = float(info.objective_function_value)
        bound = float(info.mip_dual_bound) if any(self._whole) else cost
        values = np.array(solver.getSolution().col_value) if feasible else None
        return Solved(values, cost, bound, proven)

    def _model(self) -> highspy.HighsLp:
        model = highspy.HighsLp()
        model.num_col_, model.num_row_ = self.columns, len(self._rows)
        model.col_cost_ = np.array(self._costs)
        model.col_lower_ = np.zeros(self.columns)
        model.col_upper_ = np.array(self._most)
        model.row_lower_ = np.array([least for least, _most in self._rows])
        model.row_upper_ = np.array([most for _least, most in self._rows])
        kinds = highspy.HighsVarType
        if any(self._whole):
            model.integrality_ = [kinds.kInteger if whole else kinds.kContinuous for whole in self._whole]
        entries = sorted(self._entries, key=lambda entry: (entry[1], entry[0]))
        counts = np.bincount([column for _row, column, _value in entries], minlength=self.columns)
        matrix = model.a_matrix_
        matrix.format_ = highspy.MatrixFormat.kColwise
        matrix.start_ = np.concatenate(([0], np.cumsum(counts))).astype(np.int32)
        matrix.index_ = np.array([row for row, _column, _value in entries], dtype=np.int32)
        matrix.value_ = np.array([value for _row, _column, value in entries])
        return model
