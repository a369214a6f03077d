"""Agreed totals that several sites draw on: what each site's plan may take of them."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace

from inventory.calc.reorder.bought import Bought
from inventory.calc.reorder.market import Item

Allotments = Mapping[tuple[int, int], int]
"""Packs by site and number of the quote."""


def limited(items: Sequence[Item], *, allotments: Allotments) -> list[Item]:
    """Let a site's items take no more of an agreed total than is allotted to it.

    Source: derived.

    Args:
        items: items of any sites.
        allotments: packs by site and quote; a quote that is not in it stays as it is.

    Returns:
        The items in their order; a quote of which nothing is allotted is left out.
    """
    return [_limited(item, allotments=allotments) for item in items]


def _limited(item: Item, *, allotments: Allotments) -> Item:
    if all(quote.most_packs is None for quote in item.quotes):
        return item
    kept = []
    for quote in item.quotes:
        most = allotments.get((item.plan.site_id, quote.key), quote.most_packs)
        if quote.most_packs is None:
            kept.append(quote)
        elif most:
            kept.append(replace(quote, most_packs=most))
    return replace(item, quotes=tuple(kept))


def totals(items: Sequence[Item]) -> dict[int, int]:
    """List the agreed totals by the number of their quote.

    Source: derived.

    Args:
        items: items of all sites.

    Returns:
        Packs by quote.
    """
    return {
        quote.key: quote.most_packs for item in items for quote in item.quotes if quote.most_packs is not None
    }


def used(rows: Sequence[Bought]) -> dict[int, int]:
    """Add up what lots take of agreed totals.

    Source: derived.

    Args:
        rows: what is bought.

    Returns:
        Packs by quote.
    """
    found: dict[int, int] = defaultdict(int)
    for row in rows:
        for lot in row.lots:
            if lot.chance.quote.most_packs is not None:
                found[lot.chance.quote.key] += lot.packs
    return dict(found)


def allot(plans: Mapping[int, Sequence[Bought]], *, total: Mapping[int, int]) -> dict[tuple[int, int], int]:
    """Allot to each site what its plan takes, and what nobody takes in equal parts, the first sites first.

    Source: derived: so that no later change of one site's plan can take what is another's.

    Args:
        plans: what each site buys, within the totals.
        total: packs by quote.

    Returns:
        Packs by site and quote.
    """
    found = {}
    taken = {site: used(rows) for site, rows in plans.items()}
    for key, packs in total.items():
        left, over = divmod(packs - sum(mine.get(key, 0) for mine in taken.values()), max(1, len(plans)))
        for number, site in enumerate(sorted(plans)):
            found[site, key] = taken[site].get(key, 0) + left + (number < over)
    return found
