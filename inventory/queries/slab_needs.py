"""What slabs still need, pour by pour, and their part of what their site's store holds."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date

from estimates.calc import requirements as needed
from inventory.calc import costing, still_needed
from inventory.calc.costing import Pool
from inventory.calc.reorder import yard
from inventory.queries import heap_claims, slab_sources
from inventory.queries import issued as issues
from inventory.queries.slab_rows import Figures, SlabRow
from inventory.queries.slab_sources import NOTHING, Key
from projects.access.actor import Actor
from projects.models import Pour


@dataclass(frozen=True)
class _Drawn:
    """What each pour has had and lost, and what placed pours have taken from unmeasured heaps."""

    used: Mapping[Key, int]
    lost: Mapping[Key, int]
    heaps: Mapping[Key, int]


@dataclass(frozen=True)
class _Want:
    """What a pour asks of the store: by `day`, or whenever when the part of the slab has no pour yet.

    What has been cast already comes first and is served as far as the book goes; nothing of it can be short.
    """

    slab: SlabRow
    figures: Key
    quantity: int
    day: date | None
    turn: tuple[bool, date, int, int]
    cast: bool = False


@dataclass(slots=True)
class _Sums:
    """What is being added up for one material of one slab."""

    to_use: int = 0
    needed: int = 0
    on_hand: Pool = NOTHING
    spare: Pool = NOTHING


def settle(figures: dict[Key, Figures], *, slabs: tuple[SlabRow, ...], actor: Actor) -> None:
    """Write into the figures what each slab still has to use and needs, and its part of the store."""
    going = tuple(row for row in slabs if not row.finished)
    drawn = _drawn(going, actor=actor)
    sums = {key: _Sums() for key in figures}
    of_slab: defaultdict[int, list[Key]] = defaultdict(list)
    for key in figures:
        of_slab[key[0]].append(key)
    wants: list[_Want] = []
    for row in going:
        for key in of_slab[row.slab.pk]:
            parts = list(_parts(row, figures=figures[key], drawn=drawn))
            sums[key].to_use = sum(quantity for _pour, quantity in parts)
            wants += _wants(row, key=key, parts=parts, drawn=drawn)
    wants.sort(key=lambda want: want.turn)
    _share(sums, wants=wants, actor=actor)
    _share_orders(sums, figures=figures, slabs=slabs, wants=wants, actor=actor)
    for key, one in sums.items():
        figures[key] = replace(
            figures[key], to_use=one.to_use, needed=one.needed, on_hand=one.on_hand, spare_order=one.spare
        )


def _drawn(slabs: tuple[SlabRow, ...], *, actor: Actor) -> _Drawn:
    """Read by pour only where it differs from the slab: where a slab has several pours."""
    several = {pour.pk for row in slabs if len(row.pours) > 1 for pour in row.pours}
    placed = any(pour.state == Pour.State.POURED for row in slabs for pour in row.pours)
    claims = heap_claims.of_placed(actor) if placed else ()
    return _Drawn(
        used=issues.net(actor, pour_ids=several) if several else {},
        lost=issues.lost(actor, pour_ids=several) if several else {},
        heaps={(claim.pour.pk, claim.material_id): claim.quantity for claim in claims},
    )


def _parts(row: SlabRow, *, figures: Figures, drawn: _Drawn) -> Iterator[tuple[Pour | None, int]]:
    """Tell what each pour that is not closed has still to use; None stands for the part without a pour."""
    shares = [pour.share_ppm for pour in row.pours]
    whole = shares == [needed.WHOLE_PPM]
    allowed = (figures.allowed,) if whole else needed.split(figures.allowed, shares_ppm=shares)
    allowance = (figures.allowance,) if whole else needed.split(figures.allowance, shares_ppm=shares)
    for pour, part, loss in zip(row.pours, allowed, allowance, strict=True):
        key = (pour.pk, figures.material.pk)
        one = len(row.pours) == 1
        used = figures.used if one else drawn.used.get(key, 0)
        lost = figures.wasted if one else drawn.lost.get(key, 0)
        if pour.state != Pour.State.CLOSED:
            yield pour, still_needed.left(part, allowance=loss, used=used, wasted=lost)
    if not whole:
        yield None, figures.allowed - sum(allowed)


def _wants(row: SlabRow, *, key: Key, parts: list[tuple[Pour | None, int]], drawn: _Drawn) -> Iterator[_Want]:
    for pour, quantity in parts:
        if pour is None:
            turn = (True, date.max, row.slab.pk, 0)
            yield _Want(slab=row, figures=key, quantity=quantity, day=None, turn=turn)
            continue
        cast = pour.state != Pour.State.PLANNED
        wanted = drawn.heaps.get((pour.pk, key[1]), 0) if cast else quantity
        turn = (not cast, pour.pour_date, row.slab.pk, pour.pk)
        yield _Want(slab=row, figures=key, quantity=wanted, day=pour.pour_date, turn=turn, cast=cast)


def _share(sums: dict[Key, _Sums], *, wants: list[_Want], actor: Actor) -> None:
    """Give each want its part of what is usable on its day, the earliest first."""
    site_ids = {want.slab.slab.site_id for want in wants}
    pools = slab_sources.stores(actor, site_ids=site_ids)
    heaps = slab_sources.heaps(actor, site_ids=site_ids, pools=pools)
    for want in wants:
        place = (want.slab.slab.site_id, want.figures[1])
        mine = sums[want.figures]
        usable = heaps.get(place, ())
        if want.day is not None:
            usable = yard.expire(usable, day=want.day)
        quantity = min(want.quantity, yard.on_hand(usable))
        mine.needed += quantity if want.cast else want.quantity
        if quantity:
            heaps[place] = yard.take(usable, quantity=quantity)
            pools[place], part = _part(pools[place], quantity=quantity)
            mine.on_hand = _added(mine.on_hand, part)


def _share_orders(
    sums: dict[Key, _Sums],
    *,
    figures: dict[Key, Figures],
    slabs: tuple[SlabRow, ...],
    wants: list[_Want],
    actor: Actor,
) -> None:
    """Give what comes for nobody, and what a slab needs no more of its own orders, to the others in turn."""
    site_of = {row.slab.pk: row.slab.site_id for row in slabs}
    spare = slab_sources.loose_orders(actor, site_ids=set(site_of.values()))
    lacking = {}
    for key, one in sums.items():
        own = figures[key].open_order
        lacking[key] = one.needed - one.on_hand.quantity - own.quantity
        over = min(-lacking[key], own.quantity)
        if over > 0:
            place = (site_of[key[0]], key[1])
            spare[place] = _added(spare.get(place, NOTHING), _part(own, quantity=over)[1])
    for key in dict.fromkeys(want.figures for want in wants):
        place = (site_of[key[0]], key[1])
        quantity = min(lacking[key], spare.get(place, NOTHING).quantity)
        if quantity > 0:
            spare[place], sums[key].spare = _part(spare[place], quantity=quantity)


def _added(one: Pool, other: Pool) -> Pool:
    return Pool(one.quantity + other.quantity, one.value + other.value)


def _part(store: Pool, *, quantity: int) -> tuple[Pool, Pool]:
    """Split a pool into what is left and what a slab gets of it."""
    rest, value = costing.issue(store, quantity=quantity)
    return rest, Pool(quantity, value)
