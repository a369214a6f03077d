"""Background jobs of inventory: each turns its payload into service calls and is safe to do twice."""

from __future__ import annotations

import time
from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.conf import settings
from django.core.mail import EmailMessage
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils.translation import gettext as _

from inventory.documents import enquiry as enquiry_paper
from inventory.documents import order as order_paper
from inventory.documents import ubl
from inventory.queries import enquiries as enquiry_rows
from inventory.queries import morning
from inventory.queries import orders as order_rows
from inventory.services import enquiries, orders, planning, replan
from inventory.services.cutting import solving
from projects.access import actor as actors


def make_plan(*, firm_id: int, key: str, now: datetime) -> None:
    """Make the firm's reorder plan again."""
    begun = time.monotonic()
    actor = actors.for_jobs(firm_id)
    run = planning.make_plan(actor=actor, act=planning.PlanAct(), key=key, now=now)
    planning.note_took(actor=actor, run_id=run.pk, milliseconds=round((time.monotonic() - begun) * 1_000))


def improve_plan(*, firm_id: int, key: str, now: datetime) -> None:
    """Improve the firm's reorder plan by exact solving."""
    del key
    begun = time.monotonic()
    actor = actors.for_jobs(firm_id)
    run = planning.improve(actor=actor, now=now, clock=time.monotonic)
    if run is not None:
        planning.note_took(actor=actor, run_id=run.pk, milliseconds=round((time.monotonic() - begun) * 1_000))


def plan_nightly(*, now: datetime) -> None:
    """Ask for every firm's plan of its new day; called any number of times, each day is asked for once."""
    replan.every_firm(now=now)


def cut_plan(*, firm_id: int, plan_id: int, key: str, now: datetime) -> None:
    """Work a cutting plan out."""
    del key
    solving.work_out(actor=actors.for_jobs(firm_id), plan_id=plan_id, now=now, clock=time.monotonic)


def morning_letter(*, firm_id: int, day: str, key: str, now: datetime) -> None:
    """Tell those who order what cannot wait; none is written when nothing is late, or the day is over.

    A worker that dies between the mail and its job's end leads to a second mail with the same Message-ID.
    """
    del key
    actor = actors.for_jobs(firm_id)
    today = now.astimezone(ZoneInfo(actor.time_zone)).date()
    letter = morning.letter(actor, today=today)
    if today != date.fromisoformat(day) or letter is None:
        return
    context = {"letter": letter, "frame": {"locale": actor.locale, "currency": actor.currency}}
    EmailMessage(
        subject=_("%(firm)s: what cannot wait today") % {"firm": actor.firm_name},
        body=render_to_string("inventory/morning_letter.txt", context),
        to=list(letter.readers),
        headers={"Message-ID": f"<{day}.{firm_id}@mornings.invalid>"},
    ).send()


def send_order(*, firm_id: int, order_id: int, key: str, now: datetime, ended: bool = False) -> None:
    """Mail an order, its new version or its end to the supplier; once it is on record as left never again.

    A worker that dies between the mail and the record leads to a second mail; both carry the same Message-ID,
    so that the supplier's mail program shows one.
    """
    actor = actors.for_jobs(firm_id)
    letter = order_rows.letter(actor, order_id, ended=ended)
    if letter is None:
        return
    context = {"letter": letter, "frame": {"locale": actor.locale, "currency": actor.currency}}
    mail = EmailMessage(
        subject=_subject(letter),
        body=render_to_string("inventory/order_letter.txt", context),
        to=[letter.email],
        headers={"Message-ID": f"<{_message(letter, ended=ended)}.{firm_id}@orders.invalid>"},
    )
    if not ended:
        receipt = f"{settings.PUBLIC_ADDRESS}{reverse('inventory:receipt_of_order', args=[order_id])}"
        paper = order_paper.pdf(actor, letter=letter, receipt_url=receipt, at=now)
        mail.attach(f"{letter.number}.pdf", paper, "application/pdf")
        mail.attach(f"{letter.number}.xml", ubl.xml(letter, currency=actor.currency), "application/xml")
    mail.send()
    act = orders.StepAct(order_id=order_id)
    left = order_rows.mailed_key(order_id, version=letter.version, ended=ended)
    orders.note_mailed(actor=actor, act=act, key=left, now=now)


def _subject(letter: order_rows.Letter) -> str:
    said = {"number": letter.number, "firm": letter.firm, "version": letter.version}
    if letter.ended:
        return _("Order %(number)s from %(firm)s is ended") % said
    if letter.version > 1:
        return _("Order %(number)s from %(firm)s, amended: version %(version)s") % said
    return _("Order %(number)s from %(firm)s") % said


def _message(letter: order_rows.Letter, *, ended: bool) -> str:
    suffix = ".ended" if ended else "" if letter.version == 1 else f".{letter.version}"
    return f"{letter.number.lower()}{suffix}"


def send_enquiry(*, firm_id: int, asked_id: int, key: str, now: datetime) -> None:
    """Mail an enquiry to one supplier with its paper, once it is on record that it has left never again."""
    del key
    actor = actors.for_jobs(firm_id)
    if enquiry_rows.was_mailed(actor, asked_id=asked_id):
        return
    letter = enquiry_rows.letter(actor, asked_id=asked_id)
    enquiry = letter.enquiry
    if not letter.email or enquiry.ended_at is not None:
        return
    context = {"letter": letter, "frame": {"locale": actor.locale, "currency": actor.currency}}
    mail = EmailMessage(
        subject=_("Enquiry %(number)s from %(firm)s") % {"number": enquiry.number, "firm": actor.firm_name},
        body=render_to_string("inventory/enquiry_letter.txt", context),
        to=[letter.email],
        headers={"Message-ID": f"<{enquiry.number.lower()}.{asked_id}.{firm_id}@enquiries.invalid>"},
    )
    paper = enquiry_paper.pdf(actor, letter=letter, at=now)
    mail.attach(f"{enquiry.number}.pdf", paper, "application/pdf")
    mail.send()
    act = enquiries.EnquiryStep(enquiry_id=asked_id)
    enquiries.note_mailed(actor=actor, act=act, key=enquiry_rows.mailed_key(asked_id), now=now)
