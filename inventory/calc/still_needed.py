"""What a pour still has to draw from the store: what its bill allows, less what it has had."""


def left(allowed: int, *, allowance: int, used: int, wasted: int) -> int:
    """Tell how much a pour still needs.

    The allowance is there to be lost; what is lost beyond it has to be replaced, or the pour stops half-way.
    Source: derived: net + max(allowance, wasted) - used, 0 once it has had that much.

    Args:
        allowed: stock units of the bill for this pour, net and allowance together.
        allowance: the part of them that is expected loss.
        used: stock units issued to it less what came back, its waste among them.
        wasted: stock units lost out of it.

    Returns:
        Stock units, 0 or more.

    103 bags allowed, 3 of them as loss; 60 issued, of which 2, or 20, were lost:

    >>> [left(103, allowance=3, used=60, wasted=lost) for lost in (2, 20)]
    [43, 60]
    """
    beyond = max(wasted - allowance, 0)
    return max(allowed + beyond - used, 0)
