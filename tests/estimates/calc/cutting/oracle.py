"""The least cost of a cutting task by OR-Tools CP-SAT, bar by bar: shares nothing with the search."""

from ortools.sat.python import cp_model


def least_cost(task, *, bars, seconds=20):
    """The least cost of plans that take at most `bars` of what can be bought."""
    model = cp_model.CpModel()
    made = [[] for _ in task.pieces]
    costs = []
    for stock in task.stocks:
        number = bars if stock.available is None else min(stock.available, bars)
        previous = None
        for _ in range(number):
            used = model.new_bool_var("")
            counts = [model.new_int_var(0, piece.count, "") for piece in task.pieces]
            spans = [piece.length_mm + task.blade_mm for piece in task.pieces]
            room = (stock.length_mm + task.blade_mm) * used
            model.add(sum(span * count for span, count in zip(spans, counts, strict=True)) <= room)
            for row, count in zip(made, counts, strict=True):
                row.append(count)
            costs.append(used * (stock.length_mm if stock.cost is None else stock.cost))
            if stock.kind == "offcut" and stock.cost is None:
                costs.pop()
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
    return round(solver.objective_value)
