"""Bars that lie in store are cut before equal ones that would have to be bought."""

from collections import Counter

from estimates.calc.cutting.problem import Cut, Cuts, Problem


def first(problem: Problem, cuts: Cuts) -> Counter[Cut]:
    """Changes bars to buy for bars in store of the same length and price, as long as there are any.

    Source: derived: cost and rests stay the same.

    Args:
        problem: the problem.
        cuts: how many bars are cut how.

    Returns:
        The same patterns, from stock in store where there is some.
    """
    found = Counter(cuts)
    taken: Counter[int] = Counter()
    for cut, bars in cuts.items():
        taken[cut[0]] += bars
    for store, stock in enumerate(problem.stocks):
        spare = 0 if stock.available is None else stock.available - taken[store]
        for cut in sorted(cuts, key=lambda cut: (-cuts[cut], cut)):
            bought = problem.stocks[cut[0]]
            equal = (bought.length_mm, bought.price) == (stock.length_mm, stock.price)
            if equal and bought.available is None and spare > 0:
                changed = min(spare, found[cut])
                found[cut] -= changed
                found[store, cut[1]] += changed
                spare -= changed
    return +found
