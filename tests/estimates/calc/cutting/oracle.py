"""The least cost of a cutting task by OR-Tools CP-SAT, bar by bar: shares nothing with the search."""

from ortools.sat.python import cp_model


def least_cost(task, *, bars, seconds=60):
    """The least cost of plans that take at most `bars` of what can be bought; None if there is none."""
    model = cp_model.CpModel()
    made = [[] for _ in task.pieces]
    costs = []
    for stock in task.stocks:
        previous = None
        for _ in range(bars if stock.available is None else min(stock.available, bars)):
            used, counts, kept = _bar(model, task, stock)
            for row, count in zip(made, counts, strict=True):
                row.append(count)
            costs.append(100 * used * _price(task, stock) - task.credit_percent * kept)
            if previous is not None:
                model.add_implication(used, previous)
            previous = used
    for row, piece in zip(made, task.pieces, strict=True):
        model.add(sum(row) == piece.count)
    model.minimize(sum(costs))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    status = solver.solve(model)
    if status == cp_model.INFEASIBLE:
        return None
    assert status == cp_model.OPTIMAL, solver.status_name(status)
    return round(solver.objective_value) / 100


def _price(task, stock):
    """The length of a bar; of an offcut nothing, or the credit that it had in store."""
    if stock.kind == "bar":
        return stock.length_mm
    return -(-stock.length_mm * task.credit_percent // 100) if stock.length_mm >= task.keep_mm else 0


def _bar(model, task, stock):
    """Whether a bar is used, how many pieces of each it gives, and the length of its rest that is kept."""
    used, keeps = model.new_bool_var(""), model.new_bool_var("")
    kept = model.new_int_var(0, stock.length_mm, "")
    counts = [model.new_int_var(0, piece.count, "") for piece in task.pieces]
    spans = [piece.length_mm + task.blade_mm for piece in task.pieces]
    taken = sum(span * count for span, count in zip(spans, counts, strict=True))
    model.add(taken <= (stock.length_mm + task.blade_mm) * used)
    model.add(sum(counts) >= used)
    model.add_implication(keeps, used)
    model.add(kept <= stock.length_mm * keeps)
    model.add(kept <= stock.length_mm - taken).only_enforce_if(keeps)
    model.add(stock.length_mm - taken >= task.keep_mm).only_enforce_if(keeps)
    return used, counts, kept
