"""An independent check of a cutting plan, from task and plan alone: shares no code with the search."""

from collections.abc import Iterator

from estimates.calc.cutting.facts import Kind, Pattern, Plan, Task


def check(task: Task, plan: Plan) -> tuple[str, ...]:
    """Finds what is wrong with a plan.

    Source: derived: every piece is cut once; pieces and the blade between them fit the bar; no more stock is
    taken than there is; what is cut = pieces + kept + scrap + blade; no cost below the bound.

    Args:
        task: what was to be cut [mm].
        plan: how it is cut.

    Returns:
        Every fault in words; empty for a plan that can be cut.
    """
    strange = tuple(_strangers(task, plan))
    return strange or (
        *_faults_of_patterns(task, plan),
        *_faults_of_pieces(task, plan),
        *_faults_of_stock(task, plan),
        *_faults_of_sums(task, plan),
    )


def _strangers(task: Task, plan: Plan) -> Iterator[str]:
    for number, pattern in enumerate(plan.patterns, start=1):
        if not 0 <= pattern.stock < len(task.stocks) or len(pattern.counts) != len(task.pieces):
            yield f"pattern {number}: does not belong to this task"


def _faults_of_patterns(task: Task, plan: Plan) -> Iterator[str]:
    for number, pattern in enumerate(plan.patterns, start=1):
        if pattern.bars < 1 or min(pattern.counts) < 0 or not any(pattern.counts):
            yield f"pattern {number}: cuts nothing, or less than nothing"
        long = task.stocks[pattern.stock].length_mm
        used = _length(task, pattern) + (sum(pattern.counts) - 1) * task.blade_mm
        if used > long:
            yield f"pattern {number}: takes {used} mm from a bar of {long} mm"
        # A rest that is shorter than the blade goes with the last cut.
        if pattern.remainder_mm != max(0, long - used - task.blade_mm):
            rest = long - used - task.blade_mm
            yield f"pattern {number}: remainder {pattern.remainder_mm} mm is not {rest} mm"


def _length(task: Task, pattern: Pattern) -> int:
    return sum(piece.length_mm * count for piece, count in zip(task.pieces, pattern.counts, strict=True))


def _faults_of_pieces(task: Task, plan: Plan) -> Iterator[str]:
    for index, piece in enumerate(task.pieces):
        made = sum(pattern.counts[index] * pattern.bars for pattern in plan.patterns)
        if made != piece.count:
            yield f"piece {piece.mark}: {made} cut, {piece.count} wanted"


def _faults_of_stock(task: Task, plan: Plan) -> Iterator[str]:
    for index, stock in enumerate(task.stocks):
        taken = sum(pattern.bars for pattern in plan.patterns if pattern.stock == index)
        if stock.available is not None and taken > stock.available:
            yield f"stock {stock.label}: {taken} taken, {stock.available} there"
    most = task.max_patterns
    if plan.patterns_kept and most is not None and _different(task, plan) > most:
        yield f"{_different(task, plan)} different patterns, at most {most} wanted"


def _different(task: Task, plan: Plan) -> int:
    """Patterns by length, without those that another one of the same stock contains."""
    by_length = {(p.stock, tuple(sorted(_by_length(task, p).items()))) for p in plan.patterns}
    contained = {
        (stock, part)
        for stock, part in by_length
        for other, whole in by_length
        if part != whole
        and stock == other
        and all(count <= dict(whole).get(length, 0) for length, count in part)
    }
    return len(by_length - contained)


def _by_length(task: Task, pattern: Pattern) -> dict[int, int]:
    found: dict[int, int] = {}
    for piece, count in zip(task.pieces, pattern.counts, strict=True):
        if count:
            found[piece.length_mm] = found.get(piece.length_mm, 0) + count
    return found


def _faults_of_sums(task: Task, plan: Plan) -> Iterator[str]:
    cut = new = new_bars = offcuts = 0
    rests: list[int] = []
    for pattern in plan.patterns:
        stock = task.stocks[pattern.stock]
        cut += stock.length_mm * pattern.bars
        rests += [pattern.remainder_mm] * pattern.bars
        if stock.kind is Kind.BAR:
            new_bars, new = new_bars + pattern.bars, new + stock.length_mm * pattern.bars
        else:
            offcuts += pattern.bars
    kept = tuple(sorted((rest for rest in rests if rest >= task.keep_mm), reverse=True))
    pieces = sum(piece.length_mm * piece.count for piece in task.pieces)
    if (new_bars, new, offcuts) != (plan.new_bars, plan.new_mm, plan.offcuts_used):
        yield f"{new_bars} new bars, {new} mm, {offcuts} offcuts are cut; the plan says otherwise"
    if kept != plan.kept_mm:
        yield f"{len(kept)} rests are kept; the plan says otherwise"
    if cut != pieces + sum(plan.kept_mm) + plan.scrap_mm + plan.blade_mm:
        yield f"{cut} mm are cut; pieces, kept rests, scrap and blade make another sum"
    if plan.bound > plan.cost + 1e-6:
        yield f"the cost {plan.cost:g} lies below its bound {plan.bound:g}"
