from __future__ import annotations

from typing import Any

from django import forms
from django.conf import settings
from django.contrib.auth import authenticate, login, logout
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_POST

from projects.pages import acting
from projects.pages.forms import SheetForm
from projects.services import lockout


class SignInForm(SheetForm):
    username = forms.CharField(
        label=gettext_lazy("Sign-in name"),
        widget=forms.TextInput(attrs={"autocomplete": "username", "autocapitalize": "none"}),
    )
    password = forms.CharField(
        label=gettext_lazy("Password"),
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
    )


@sensitive_post_parameters("password")
def sign_in(request: HttpRequest) -> HttpResponse:
    goal = acting.way_back(request, otherwise=settings.LOGIN_REDIRECT_URL)
    if request.method != "POST":
        return _show(request, form=SignInForm(), goal=goal, status=200)
    form = SignInForm(request.POST)
    if not form.is_valid():
        return _show(request, form=form, goal=goal, status=422)
    username = form.cleaned_data["username"]
    address = request.META.get("REMOTE_ADDR", "")
    if lockout.is_locked(username=username, address=address):
        form.add_error(None, _("Too many wrong passwords. Wait 15 minutes, then try again."))
        return _show(request, form=form, goal=goal, status=429)
    person = authenticate(request, username=username, password=form.cleaned_data["password"])
    if person is None:
        lockout.note_failure(username=username, address=address)
        form.add_error(None, _("The sign-in name or the password is wrong. Check both and try again."))
        return _show(request, form=form, goal=goal, status=422)
    lockout.forget(username=username, address=address)
    login(request, person)
    return redirect(goal)


@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    logout(request)
    return redirect("projects:sign_in")


def _show(request: HttpRequest, *, form: SignInForm, goal: str, status: int) -> HttpResponse:
    context: dict[str, Any] = {"form": form, "next": goal, "demo_people": settings.DEMO_PEOPLE}
    return render(request, "projects/sign_in.html", context, status=status)
