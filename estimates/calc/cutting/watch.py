"""Time, cancelling and progress of a search."""

from collections.abc import Callable
from dataclasses import dataclass, field

from estimates.calc.cutting.facts import Clock, Ended, Progress


@dataclass(slots=True)
class Watch:
    """Tells a search when to stop, and the caller where it stands."""

    clock: Clock
    limit: float
    progress: Callable[[Progress], None] | None = None
    cancelled: Callable[[], bool] | None = None
    begun: float = field(init=False)
    ended: Ended = field(init=False, default=Ended.DONE)

    def __post_init__(self) -> None:
        self.begun = self.clock()

    @property
    def seconds(self) -> float:
        """Seconds since the search began."""
        return self.clock() - self.begun

    @property
    def left(self) -> float:
        """Seconds that are left, never less than 0."""
        return max(0.0, self.limit - self.seconds)

    def over(self) -> bool:
        """Whether the search has to stop, because it was cancelled or its time is up; remembers which."""
        if self.ended is Ended.DONE:
            if self.cancelled is not None and self.cancelled():
                self.ended = Ended.CANCELLED
            elif not self.left:
                self.ended = Ended.TIME
        return self.ended is not Ended.DONE

    def enough(self, seconds: float) -> bool:
        """Whether so many seconds are left; if not, the time counts as up."""
        if not self.over() and self.left < seconds:
            self.ended = Ended.TIME
        return not self.over()

    def tell(self, doing: str, *, cost: float, new_bars: int, bound: float) -> None:
        """Tells the caller where the search stands."""
        if self.progress is not None:
            self.progress(
                Progress(doing=doing, cost=cost, new_bars=new_bars, bound=bound, seconds=self.seconds)
            )
