"""People and their roles; the founding of a firm."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.contrib.auth.hashers import make_password
from django.db import transaction
from django.utils.translation import gettext as _

from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused
from projects.models import AuditEntry, Firm, Membership, Person, Role, Site
from projects.services.acts import business_act


class UsernameTaken(Refused):
    """Somebody signs in with this name already."""

    code = "username_taken"
    status = 409


@dataclass(frozen=True)
class FirmAct:
    """A new firm and the person who runs its office."""

    name: str
    currency: str
    locale: str
    time_zone: str
    username: str
    person: str
    approval_limit_minor: int = 0
    cash_limit_minor: int = 0
    profile: str = "is"


@dataclass(frozen=True)
class PersonAct:
    """A person, their role and, for a site manager, their sites."""

    username: str
    name: str
    role: Role
    site_ids: tuple[int, ...] = ()


@dataclass(frozen=True)
class MailAct:
    """Where a person reads mail; empty when they want none."""

    username: str
    email: str


def found_firm(*, act: FirmAct, password: str, now: datetime) -> Membership:
    """Found a firm with its first person in the office; the one act that nobody signed in does."""
    with transaction.atomic():
        firm = Firm.objects.create(
            name=act.name,
            currency=act.currency,
            locale=act.locale,
            time_zone=act.time_zone,
            approval_limit_minor=act.approval_limit_minor,
            cash_limit_minor=act.cash_limit_minor,
            profile=act.profile,
        )
        person = _person(username=act.username, name=act.person, password=password)
        membership = Membership.objects.create(person=person, firm=firm, role=Role.OFFICE)
        AuditEntry.objects.create(
            firm=firm, person=person, signed=person.name, act="people.found_firm", recorded_at=now
        )
        return membership


@business_act(result=Membership)
def admit(*, actor: Actor, act: PersonAct, key: str, now: datetime) -> Membership:
    """Give a person a role in the actor's firm; refused for sites of another firm.

    A new person gets no password here and cannot sign in until `set_password` gives them one.
    """
    del key, now
    actor.require(Permission.EDIT_SITES)
    sites = [scope.get(Site.objects.all(), actor, pk=site_id) for site_id in act.site_ids]
    person = Person.objects.filter(username=act.username).first()
    if person is None:
        person = _person(username=act.username, name=act.name, password=None)
    elif not Membership.objects.filter(person=person, firm_id=actor.firm_id).exists():
        raise UsernameTaken(
            _("Somebody signs in as “%s” already. Choose another name.") % act.username, field="username"
        )
    membership, _created = Membership.objects.get_or_create(
        person=person, firm_id=actor.firm_id, role=act.role
    )
    membership.sites.set(sites)
    return membership


@business_act(result=Person)
def set_email(*, actor: Actor, act: MailAct, key: str, now: datetime) -> Person:
    """Say where the firm's letters reach a person of the firm; refused with NotFound for anybody else."""
    del key, now
    actor.require(Permission.EDIT_SITES)
    person: Person = scope.get(Person.objects.select_for_update(of=("self",)), actor, username=act.username)
    person.email = act.email
    person.save(update_fields=["email"])
    return person


def set_password(*, actor: Actor, username: str, password: str, now: datetime) -> None:
    """Give a person of the actor's firm a new password; passwords never pass through an act's record.

    Refused with NotFound for somebody who is not of the firm.
    """
    actor.require(Permission.EDIT_SITES)
    with transaction.atomic():
        person = scope.get(Person.objects.select_for_update(of=("self",)), actor, username=username)
        person.password = make_password(password)
        person.save(update_fields=["password"])
        AuditEntry.objects.create(
            firm_id=actor.firm_id,
            person_id=actor.person_id,
            signed=actor.name,
            act="people.set_password",
            subject_id=person.pk,
            recorded_at=now,
        )


def _person(*, username: str, name: str, password: str | None) -> Person:
    if Person.objects.filter(username=username).exists():
        raise UsernameTaken(
            _("Somebody signs in as “%s” already. Choose another name.") % username, field="username"
        )
    return Person.objects.create(username=username, name=name, password=make_password(password))
