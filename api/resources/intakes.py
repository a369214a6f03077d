"""Files of the engineer's office for a slab: sent, read, asked about, and the sheet that they begin."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc, pagination, uploads
from api.fields import Named, Shown, SlabNamed, Typed
from api.pagination import PageAsked
from api.resource import Resource
from estimates.calc.intake import limits
from estimates.documents import bar_template
from estimates.queries import intakes as rows
from estimates.services.intake import intakes
from estimates.services.intake.intakes import AnswersAct, IntakeAct, SentFile
from projects.access.permissions import Permission
from projects.queries import pours


class AnswersTyped(Typed):
    answers = serializers.DictField(
        child=serializers.CharField(max_length=200, allow_blank=True),
        required=False,
        default=dict,
        help_text="By the question's id: the value of a choice, or what is typed. Empty takes it back.",
    )
    accept = serializers.BooleanField(
        default=False, help_text="Take what is proposed for every question that is still open."
    )


class FileShown(Shown):
    id = serializers.IntegerField()
    name = serializers.CharField()
    kind = serializers.CharField(help_text="dxf, ifc, xlsx, csv or json, told by the content.")
    size_bytes = serializers.IntegerField()
    digest = serializers.CharField(help_text="SHA-256 of the content.")
    received_at = serializers.DateTimeField()


class IntakeShown(Shown):
    id = serializers.IntegerField()
    created_at = serializers.DateTimeField()
    created_by = Named(allow_null=True)
    changed_at = serializers.DateTimeField()
    files = FileShown(many=True, source="files.all")


class ChoiceShown(Shown):
    value = serializers.CharField()
    words = serializers.CharField()


class QuestionShown(Shown):
    id = serializers.CharField()
    about = serializers.CharField(help_text="plan or bars.")
    text = serializers.CharField()
    why = serializers.CharField(help_text="What in the file makes it asked.")
    choices = ChoiceShown(many=True)
    typed = serializers.BooleanField(help_text="Whether an answer may be typed in place of a choice.")
    unit = serializers.CharField()
    suggested = serializers.CharField(help_text="A proposal; it counts only when it is accepted.")
    needed = serializers.BooleanField()


class LineFaultShown(Shown):
    line = serializers.IntegerField(help_text="Counted from 1; 0 is the whole file.")
    column = serializers.CharField()
    code = serializers.CharField()
    message = serializers.CharField()


class IntakeInFull(Shown):
    id = serializers.IntegerField(source="intake.id")
    slab = SlabNamed(source="intake.slab")
    files = FileShown(many=True)
    answers = serializers.DictField(source="intake.answers")
    ready = serializers.BooleanField(source="begun.ready", help_text="No needed question is open.")
    open = QuestionShown(many=True, source="begun.open")
    questions = QuestionShown(many=True, source="begun.questions")
    plan_faults = LineFaultShown(many=True, source="begun.plan_faults")
    bar_faults = LineFaultShown(many=True, source="begun.bar_faults")
    left_out = serializers.ListField(child=serializers.IntegerField(), source="begun.left_out")
    notes = serializers.ListField(child=serializers.CharField(), source="begun.notes")
    sheet = serializers.DictField(
        source="begun.sheet",
        help_text="The design sheet as far as files and answers give it: complete it, save it as a design.",
    )


class _Intake(Resource):
    reading_needs = Permission.EDIT_DESIGNS

    def _read(self, intake_id: int) -> Any:
        return rows.one(self.actor, intake_id=intake_id)

    def _files(self) -> tuple[SentFile, ...]:
        if self.request.content_type.startswith("multipart/"):
            sent = uploads.of_form(self.request, largest=limits.FILE_BYTES)
            return tuple(SentFile(name=name, content=content) for name, content in sent)
        return tuple(SentFile(**file) for file in self.typed(uploads.FilesTyped)["files"])


class IntakesOfSlab(_Intake):
    parser_classes = uploads.PARSERS

    @doc.lists("list_intakes", shown=IntakeShown, says="Files sent for a slab's design, the latest first.")
    def get(self, request: Request, slab_id: int) -> Response:
        del request
        asked = self.asked(PageAsked)
        slab = pours.slab(self.actor, slab_id=slab_id)
        found = rows.of_slab(self.actor, slab_id=slab.pk)
        return self.page(pagination.sliced(asked, of=found), as_=IntakeShown)

    @doc.acts(
        "send_intake",
        types=uploads.FILES_DOCUMENT,
        shown=IntakeInFull,
        made=True,
        says=(
            "Send a drawing (DXF, IFC 4), a bar schedule (XLSX, CSV) or a design sheet (JSON) for a slab. "
            "They are kept with what was understood; what is not clear comes back as questions. A file that "
            "cannot be read at all is refused with every reason, and then none is kept."
        ),
    )
    def post(self, request: Request, slab_id: int) -> Response:
        del request
        act = IntakeAct(slab_id=slab_id, files=self._files())
        return self.do(intakes.receive, act=act, read=self._read, as_=IntakeInFull, made=True)


class Intake(_Intake):
    @doc.reads(
        "read_intake",
        shown=IntakeInFull,
        says="What was understood of a slab's files, what is open, and the sheet that they begin.",
    )
    def get(self, request: Request, intake_id: int) -> Response:
        del request
        return self.show(self._read(intake_id), as_=IntakeInFull)


class MoreFiles(_Intake):
    parser_classes = uploads.PARSERS

    @doc.acts(
        "add_to_intake",
        types=uploads.FILES_DOCUMENT,
        shown=IntakeInFull,
        says="Send further files; the latest drawing and the latest schedule count, and the answers stay.",
    )
    def post(self, request: Request, intake_id: int) -> Response:
        del request
        act = IntakeAct(intake_id=intake_id, files=self._files())
        return self.do(intakes.receive, act=act, read=self._read, as_=IntakeInFull)


class Answers(_Intake):
    @doc.acts(
        "answer_intake",
        types=AnswersTyped,
        shown=IntakeInFull,
        says="Answer questions; answers may open further ones, each asked in its turn.",
    )
    def post(self, request: Request, intake_id: int) -> Response:
        del request
        act = AnswersAct(intake_id=intake_id, **self.typed(AnswersTyped))
        return self.do(intakes.answer, act=act, read=self._read, as_=IntakeInFull)


class BarTemplate(Resource):
    @doc.reads_file(
        "read_bar_schedule_template",
        kind="xlsx",
        says="An empty bar schedule as XLSX, with lists to choose from; filled in, it can be sent.",
    )
    def get(self, request: Request) -> HttpResponse:
        del request
        return doc.file(bar_template.NAME, content=bar_template.content())
