"""The reorder plan as the office reads it: what to buy, what comes too late, and how old the plan is."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import F, Q, QuerySet

from estimates.models import Material
from inventory.models import OrderLine, PlanRun, Suggestion
from inventory.queries import outlooks, plan_inputs, suppliers
from inventory.queries.outlooks import PourLook
from projects.access import scope
from projects.access.actor import Actor
from projects.models import Outbox

JOB = "inventory.plan"
MOST_ROWS = 200
DECIDED_ROWS = 20


@dataclass(frozen=True)
class JobState:
    """How far the plan's job is: `state` is idle, waiting, running, retrying or failed."""

    state: str
    run: PlanRun | None
    error: str = ""
    attempts: int = 0
    since: datetime | None = None

    @property
    def busy(self) -> bool:
        """Whether a newer plan is on its way."""
        return self.state in {"waiting", "running", "retrying"}


@dataclass(frozen=True)
class LateLine:
    """An order line that is expected after its pour needs it."""

    line: OrderLine
    need_date: date
    days: int


@dataclass(frozen=True)
class Row:
    """A suggestion, with the offers that it could be bought by today."""

    suggestion: Suggestion


@dataclass(frozen=True)
class Plan:
    """What to decide on, what was decided lately, and what a person should look at."""

    rows: tuple[Row, ...]
    moves: tuple[Suggestion, ...]
    more: bool
    postponed: tuple[Suggestion, ...]
    decided: tuple[Suggestion, ...]
    late: tuple[LateLine, ...]
    pours: tuple[PourLook, ...]
    without_pack: tuple[Material, ...]
    job: JobState


def current(actor: Actor, *, today: date) -> Plan:
    """What does the plan suggest; the earliest day to order by comes first."""
    waiting, every = later(today), _open(actor)
    found = every.filter(kind=Suggestion.Kind.BUY)
    moves = every.filter(kind=Suggestion.Kind.MOVE).exclude(waiting)
    suggestions = list(found.exclude(waiting)[: MOST_ROWS + 1])
    rows = [Row(suggestion=row) for row in suggestions]
    return Plan(
        rows=tuple(rows[:MOST_ROWS]),
        moves=tuple(moves.order_by("from_site__name", "site__name", "order_by_date", "id")[:MOST_ROWS]),
        more=len(suggestions) > MOST_ROWS,
        postponed=tuple(every.filter(waiting).order_by("postponed_until", "id")[:MOST_ROWS]),
        decided=tuple(_decided(actor)),
        late=tuple(late_lines(actor)),
        pours=tuple(outlooks.coming(actor)),
        without_pack=tuple(suppliers.without_pack(actor)),
        job=job(actor),
    )


def later(today: date) -> Q:
    """Which suggestions has a person put off to a day after today."""
    return Q(postponed_until__gt=today)


def one(actor: Actor, suggestion_id: int) -> Suggestion:
    """Which suggestion is this; refused with NotFound when it is not the actor's to see."""
    rows = Suggestion.objects.select_related(*_ROADS)
    return scope.get(rows, actor, pk=suggestion_id)


_ROADS = (
    "site",
    "from_site",
    "material",
    "pour__slab",
    "supplier",
    "agreement",
    "pack",
    "order",
    "transfer",
    "decided_by",
    "run",
)


def _open(actor: Actor) -> QuerySet[Suggestion]:
    rows = scope.visible(Suggestion.objects.filter(state=Suggestion.State.OPEN), actor)
    return rows.select_related(*_ROADS).order_by("order_by_date", "need_date", "site_id", "material_id", "id")


def _decided(actor: Actor) -> list[Suggestion]:
    states = (Suggestion.State.ORDERED, Suggestion.State.REJECTED)
    rows = scope.visible(Suggestion.objects.filter(state__in=states), actor)
    return list(rows.select_related(*_ROADS).order_by("-decided_at", "-id")[:DECIDED_ROWS])


def late_lines(actor: Actor) -> list[LateLine]:
    """Which lines of open orders come after the pour needs them."""
    lines = OrderLine.objects.filter(order__state__in=plan_inputs.PLANNED_ORDERS, pour__state="planned")
    rows = (
        scope.visible(lines, actor)
        .filter(pour__requirements__material=F("material"))
        .filter(pour__requirements__need_date__lt=F("order__expected_date"))
        .annotate(need_date=F("pour__requirements__need_date"))
        .select_related("order__supplier", "order__site", "material", "pack", "pour__slab")
        .order_by("need_date", "id")[:MOST_ROWS]
    )
    return [
        LateLine(line=row, need_date=row.need_date, days=(row.order.expected_date - row.need_date).days)
        for row in rows
    ]


def job(actor: Actor) -> JobState:
    """When was the last plan made, and is a newer one on its way or given up."""
    run = scope.visible(PlanRun.objects.all(), actor).first()
    last = scope.visible(Outbox.objects.filter(job=JOB), actor).order_by("-created_at", "-id").first()
    if last is None or last.done_at is not None:
        return JobState(state="idle", run=run)
    return JobState(
        state=_state(last), run=run, error=last.last_error, attempts=last.attempts, since=last.created_at
    )


def _state(row: Outbox) -> str:
    if row.failed_at is not None:
        return "failed"
    if row.leased_until is not None:
        return "running"
    return "retrying" if row.last_error else "waiting"
