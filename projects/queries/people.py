"""Who signs in, and as whom they act."""

from __future__ import annotations

from django.contrib.auth.models import AnonymousUser

from projects.access import actor as actors
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.access.roles import PERMISSIONS
from projects.models import Person


def actor_of(person: Person | AnonymousUser) -> Actor | None:
    """Return the actor of a signed-in person; None for a stranger or somebody without a firm."""
    if not isinstance(person, Person) or not person.is_active:
        return None
    return actors.for_person(person)


def actor_named(username: str) -> Actor:
    """Return the actor of a person by sign-in name; KeyError when nobody of that name has a firm."""
    person = Person.objects.filter(username=username).first()
    found = actors.for_person(person) if person else None
    if found is None:
        raise KeyError(username)
    return found


def member(actor: Actor, *, username: str) -> Person:
    """Return a person of the actor's firm by sign-in name; refused with NotFound for anybody else."""
    return scope.get(Person.objects.all(), actor, username=username)


def addresses(actor: Actor, *, of: Permission) -> list[str]:
    """Return the mail addresses of those in the firm who may do something, each once; no address, no mail."""
    roles = [role for role, may in PERMISSIONS.items() if of in may]
    rows = scope.visible(Person.objects.filter(is_active=True).exclude(email=""), actor)
    working = rows.filter(memberships__role__in=roles, memberships__ended_at=None)
    return list(working.order_by("email").values_list("email", flat=True).distinct())


def anybody() -> bool:
    """Say whether anybody can sign in at all."""
    return Person.objects.exists()
