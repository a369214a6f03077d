"""The best pattern for given worths of the pieces: a bounded knapsack over the length of the bar."""

from collections.abc import Sequence
from math import gcd
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from estimates.calc.cutting.highs import Floats
from estimates.calc.cutting.problem import Problem

_BITS: Final = 2.0**30
_SMALLEST: Final = 1e-12


class Knapsack:
    """Finds, for all lengths of bar at once, what can be cut from them that is worth most.

    Lengths are counted in steps of the greatest common divisor of the spans, in which nothing is lost:
    no sum of spans lies between two steps.
    """

    def __init__(self, problem: Problem, *, demand: Sequence[int]) -> None:
        self._problem = problem
        self._step = gcd(*problem.spans)
        self.ends = [room // self._step for room in problem.rooms]
        self._most = max(self.ends)
        self.spans = [span // self._step for span in problem.spans]
        self._chunks = self._chunked(demand)
        self._taken = np.zeros((len(self._chunks), self._most + 1), dtype=bool)
        self._used = [False] * len(self._chunks)

    def _chunked(self, demand: Sequence[int]) -> list[tuple[int, int, int]]:
        """Size, number and length of bundles of 1, 2, 4, … pieces that make up every number to the limit."""
        chunks = []
        for size, span in enumerate(self.spans):
            left, bundle = min(demand[size], self._most // span), 1
            while left > 0:
                number = min(bundle, left)
                chunks.append((size, number, span * number))
                left, bundle = left - number, bundle * 2
        return chunks

    def rests_mm(self, stock: int) -> Floats:
        """What is left of a stock [mm] when it is used to each step."""
        used = np.arange(self.ends[stock] + 1, dtype=np.float64) * self._step
        return np.maximum(self._problem.stocks[stock].length_mm - used, 0)

    def fill(self, worths: Floats) -> Floats:
        """The most that bars are worth which are used at most to each step; remembers how, for `counts`.

        Worths are rounded to 30 bits, which is quick and only guides the search; see `exact`.
        """
        densest = max((worth / span for worth, span in zip(worths, self.spans, strict=True)), default=0.0)
        scale = _BITS / max(densest * self._most, _SMALLEST)
        return self._table(np.rint(worths * scale).astype(np.int32)) / scale

    def exact(self, worths: npt.NDArray[np.int64]) -> npt.NDArray[np.int64]:
        """The same in whole numbers, without any rounding."""
        return self._table(worths)

    def _table(self, worths: npt.NDArray[Any]) -> npt.NDArray[Any]:
        best = np.zeros(self._most + 1, dtype=worths.dtype)
        for index, (size, number, length) in enumerate(self._chunks):
            worth = worths[size] * number
            self._used[index] = bool(worth > 0)
            if worth > 0:
                with_it = best[: self._most + 1 - length] + worth
                np.greater(with_it, best[length:], out=self._taken[index, length:])
                np.maximum(best[length:], with_it, out=best[length:])
        return best

    def counts(self, end: int) -> tuple[int, ...]:
        """What is cut from a bar that the last `fill` used to the step `end`."""
        found = [0] * len(self.spans)
        for index in range(len(self._chunks) - 1, -1, -1):
            size, number, length = self._chunks[index]
            if self._used[index] and end >= length and self._taken[index, end]:
                found[size] += number
                end -= length
        return tuple(found)
