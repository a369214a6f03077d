"""Files for a slab's design: received, added to, and answered by a person."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from django.utils.translation import gettext as _

from estimates.calc.intake.found import LineFault, Unreadable
from estimates.models import Intake, IntakeFile
from estimates.queries import intakes as rows
from estimates.services.designs import SlabFinished
from estimates.services.intake import apart
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Fault, Faulty, Refused
from projects.models import Slab
from projects.services.acts import business_act

MOST_FILES = 6
"""Files of one intake: a drawing and a schedule, each with a few later ones."""

LONGEST_ANSWER = 200


class NoFile(Refused):
    """Nothing was sent."""

    code = "no_file"


class TooManyFiles(Refused):
    """More files than a slab has."""

    code = "too_many_files"


@dataclass(frozen=True)
class SentFile:
    """One file as sent."""

    name: str
    content: bytes


@dataclass(frozen=True)
class IntakeAct:
    """Files for a slab, or further ones for an intake that has begun."""

    files: tuple[SentFile, ...]
    slab_id: int | None = None
    intake_id: int | None = None


@dataclass(frozen=True)
class AnswersAct:
    """Answers by the id of their question; `accept` takes what is proposed for questions still open.

    An empty answer takes an earlier one back.
    """

    intake_id: int
    answers: Mapping[str, str] = field(default_factory=dict)
    accept: bool = False


@dataclass(frozen=True)
class _ReadFile:
    name: str
    content: bytes
    found: Mapping[str, Any]


@dataclass(frozen=True)
class _ReadAct:
    files: tuple[_ReadFile, ...]
    slab_id: int | None
    intake_id: int | None


def receive(*, actor: Actor, act: IntakeAct, key: str, now: datetime) -> Intake:
    """Read files for a slab's design and keep them with what was found in them.

    Not a business act itself: the files are read apart before the transaction of `_keep` begins. Refused with
    every fault of every file that cannot be read at all, and then none is kept; rows of a schedule at
    fault do not refuse it.
    """
    actor.require(Permission.EDIT_DESIGNS)
    if not act.files:
        raise NoFile(_("No file came with it. Choose the drawing, the bar schedule or both."), field="files")
    if len(act.files) > MOST_FILES:
        message = _("%(count)s files came; at most %(most)s belong to one slab. Send fewer.")
        raise TooManyFiles(message % {"count": len(act.files), "most": MOST_FILES}, field="files")
    _require_open(actor, act=act)
    read = _ReadAct(files=tuple(_read_all(act.files)), slab_id=act.slab_id, intake_id=act.intake_id)
    return _keep(actor=actor, act=read, key=key, now=now)


@business_act(result=Intake)
def _keep(*, actor: Actor, act: _ReadAct, key: str, now: datetime) -> Intake:
    del key
    if act.intake_id is not None:
        intake = scope.get(Intake.objects.select_for_update(), actor, pk=act.intake_id)
    else:
        slab = scope.get(Slab.objects.select_for_update(), actor, pk=act.slab_id)
        intake = Intake.objects.create(
            slab=slab, created_by_id=actor.person_id, created_at=now, changed_at=now
        )
    known = set(intake.files.values_list("digest", flat=True))
    if len(known) + len(act.files) > MOST_FILES:
        message = _(
            "%(count)s files are here; at most %(most)s belong together. Begin anew with the right ones."
        )
        raise TooManyFiles(message % {"count": len(known), "most": MOST_FILES}, field="files")
    for sent in act.files:
        digest = hashlib.sha256(sent.content).hexdigest()
        if digest in known:
            continue
        known.add(digest)
        IntakeFile.objects.create(
            intake=intake,
            name=sent.name,
            kind=sent.found["kind"],
            size_bytes=len(sent.content),
            digest=digest,
            content=sent.content,
            found=sent.found,
            received_at=now,
        )
    Intake.objects.filter(pk=intake.pk).update(changed_at=now)
    return intake


@business_act(result=Intake)
def answer(*, actor: Actor, act: AnswersAct, key: str, now: datetime) -> Intake:
    """Keep a person's answers; refused with a fault for each that no question asks for.

    Answers may open further questions; each is asked in its turn.
    """
    del key
    actor.require(Permission.EDIT_DESIGNS)
    intake = scope.get(Intake.objects.select_for_update(), actor, pk=act.intake_id)
    answers = dict(intake.answers)
    faults = []
    asked = {question.id: question for question in rows.begun(actor, intake=intake).questions}
    for name, said in act.answers.items():
        wrong = _wrong(said, question=asked.get(name))
        if wrong:
            faults.append(Fault(path=f"answers.{name}"[:120], code="bad_answer", message=wrong))
        elif said.strip():
            answers[name] = said.strip()
        else:
            answers.pop(name, None)
    if faults:
        raise Faulty(_("Some answers cannot be taken; nothing was saved."), faults=tuple(faults))
    if act.accept:
        answers |= {
            name: question.suggested
            for name, question in asked.items()
            if question.suggested and name not in answers
        }
    Intake.objects.filter(pk=intake.pk).update(answers=answers, changed_at=now)
    return intake


def _wrong(said: str, *, question: Any) -> str:
    """Why an answer cannot be taken; empty when it can."""
    if question is None:
        return _("There is no such question now.")
    if len(said) > LONGEST_ANSWER:
        return _("An answer has at most %s characters.") % LONGEST_ANSWER
    values = {choice.value for choice in question.choices}
    if said.strip() and said.strip() not in values and not question.typed:
        return _("“%(said)s” is none of the answers: %(values)s.") % {
            "said": said[:60],
            "values": ", ".join(sorted(values)),
        }
    if question.unit == "mm" and said.strip() and rows.millimetres(said) is None:
        return _("“%s” is no length in mm from 1 to 200000.") % said[:60]
    return ""


def _require_open(actor: Actor, *, act: IntakeAct) -> None:
    """Refuse before a file is read what would be refused after it."""
    if act.intake_id is not None:
        slab = scope.get(Intake.objects.select_related("slab"), actor, pk=act.intake_id).slab
    else:
        slab = scope.get(Slab.objects.all(), actor, pk=act.slab_id)
    if slab.closed_at is not None:
        raise SlabFinished(_("This slab is finished; it takes no new design. Add a new slab for new work."))


def _read_all(sent: tuple[SentFile, ...]) -> list[_ReadFile]:
    found, faults = [], []
    for file in sent:
        name = _plain(file.name)
        try:
            read = apart.read(file.content, name=name)
        except Unreadable as refused:
            faults += [_fault(fault, name=name) for fault in refused.faults]
            continue
        found.append(_ReadFile(name=name, content=file.content, found=read))
    if faults:
        raise Faulty(_("Nothing was kept: a file cannot be read."), faults=tuple(faults))
    return found


def _fault(fault: LineFault, *, name: str) -> Fault:
    where = f"{name}, {_('line')} {fault.line}{fault.column}" if fault.line else name
    return Fault(path=where, code=fault.code, message=fault.message)


def _plain(name: str) -> str:
    """The last part of a file's name, printable and short, its ending kept."""
    last = "".join(sign if sign.isprintable() else "_" for sign in name.replace("\\", "/").rsplit("/", 1)[-1])
    return last if len(last) <= 120 else last[:100] + last[-20:]
