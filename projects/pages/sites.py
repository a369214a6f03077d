from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth.password_validation import validate_password
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_safe

from projects.access.permissions import Permission
from projects.access.roles import Role
from projects.pages import acting, doors
from projects.pages.forms import ActForm
from projects.queries import people as people_rows
from projects.queries import sites as site_rows
from projects.services import people, sites


class SiteForm(ActForm):
    name = forms.CharField(label=gettext_lazy("Name of the site"), max_length=120)
    place = forms.CharField(label=gettext_lazy("Place"), max_length=200, required=False)
    opened_date = forms.DateField(
        label=gettext_lazy("Opened on"), widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    )


class PersonForm(ActForm):
    name = forms.CharField(label=gettext_lazy("Name"), max_length=120)
    username = forms.CharField(label=gettext_lazy("Sign-in name"), max_length=150)
    role = forms.ChoiceField(label=gettext_lazy("Role"), choices=Role.choices)
    site_ids = forms.TypedMultipleChoiceField(
        label=gettext_lazy("Sites of a site manager"),
        coerce=int,
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )


@doors.signed_in
@require_safe
def listing(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    context: dict[str, Any] = {
        "sites": site_rows.all_sites(actor),
        "memberships": site_rows.memberships(actor) if actor.can(Permission.EDIT_SITES) else [],
        "may_edit": actor.can(Permission.EDIT_SITES),
        "sets_limits": actor.can(Permission.APPROVE_LARGE_ORDERS),
        "title_block": {"document": _("Sites and people")},
    }
    return render(request, "projects/sites.html", context)


@doors.with_permission(Permission.EDIT_SITES)
def new(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return sites.open_site(actor=actor, act=sites.SiteAct(**typed), **how)

    sheet = acting.Sheet(
        heading=_("Open a site"),
        button=_("Open the site"),
        said=_("The site is open and has a store."),
        back=reverse("projects:sites"),
    )
    return acting.page(request, sheet=sheet, form=SiteForm, do=do)


@doors.with_permission(Permission.EDIT_SITES)
def admit(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)

    form = acting.offering(
        PersonForm, offers={"site_ids": [(s.pk, s.name) for s in site_rows.all_sites(actor)]}
    )

    def do(typed: dict[str, Any], **how: Any) -> Any:
        act = people.PersonAct(
            username=typed["username"],
            name=typed["name"],
            role=Role(typed["role"]),
            site_ids=tuple(typed["site_ids"]),
        )
        return people.admit(actor=actor, act=act, **how)

    sheet = acting.Sheet(
        heading=_("Admit a person"),
        button=_("Admit"),
        said=_("The person is admitted. Give them a password next."),
        back=reverse("projects:sites"),
    )
    return acting.page(request, sheet=sheet, form=form, do=do)


class MailForm(ActForm):
    email = forms.EmailField(
        label=gettext_lazy("Mail address"),
        help_text=gettext_lazy("Who orders gets a letter each morning when something is late. Empty: none."),
        required=False,
    )


@doors.with_permission(Permission.EDIT_SITES)
def mail(request: HttpRequest, username: str) -> HttpResponse:
    actor = doors.actor_of(request)
    person = people_rows.member(actor, username=username)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        act = people.MailAct(username=person.username, email=typed["email"])
        return people.set_email(actor=actor, act=act, **how)

    sheet = acting.Sheet(
        heading=_("Mail address of %s") % person.name,
        button=_("Keep the address"),
        said=_("The address is kept."),
        back=reverse("projects:sites"),
    )
    return acting.page(request, sheet=sheet, form=MailForm, do=do, initial={"email": person.email})


class PasswordForm(ActForm):
    password = forms.CharField(
        label=gettext_lazy("New password"),
        help_text=gettext_lazy("At least 10 characters."),
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )

    def clean_password(self) -> str:
        typed: str = self.cleaned_data["password"]
        validate_password(typed)
        return typed


@doors.with_permission(Permission.EDIT_SITES)
def password(request: HttpRequest, username: str) -> HttpResponse:
    actor = doors.actor_of(request)
    person = people_rows.member(actor, username=username)

    def do(typed: dict[str, Any], *, key: str, now: Any) -> None:
        del key
        people.set_password(actor=actor, username=person.username, password=typed["password"], now=now)

    sheet = acting.Sheet(
        heading=_("New password for %s") % person.username,
        button=_("Set the password"),
        said=_("The new password holds from now on."),
        back=reverse("projects:sites"),
    )
    return acting.page(request, sheet=sheet, form=PasswordForm, do=do)
