"""Photos and papers of deliveries: sent, listed and read."""

from __future__ import annotations

import base64
from typing import Any

from django.http import HttpResponse
from django.utils import timezone
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc, uploads
from api.fields import Named, Shown, Typed, listed
from api.resource import Resource
from inventory.documents import shortage_note
from inventory.queries import deliveries
from inventory.queries import papers as rows
from inventory.services import papers
from inventory.services.papers import PapersAct, SentFile
from projects.queries import attachments
from projects.services import photos

SHOWS = [(word, word) for word in papers.SHOWS]
KINDS = [("photo", "photo"), ("paper", "paper")]


class PapersTyped(Typed):
    shows = serializers.ChoiceField(choices=SHOWS, required=False)
    files = listed(uploads.FileTyped, most=papers.MOST_FILES)


class PapersForm(Typed):
    """The part of a form with files that is no file."""

    shows = serializers.ChoiceField(choices=SHOWS, required=False)


DOCUMENT: dict[str, Any] = {
    "multipart/form-data": {
        "type": "object",
        "properties": {
            "shows": {"type": "string", "enum": [word for word, _same in SHOWS]},
            "files": {"type": "array", "items": {"type": "string", "format": "binary"}},
        },
        "required": ["files"],
    },
    "application/json": PapersTyped,
}


class PaperShown(Shown):
    id = serializers.IntegerField()
    shows = serializers.ChoiceField(choices=SHOWS)
    kind = serializers.ChoiceField(source="attachment.kind", choices=KINDS)
    name = serializers.CharField(source="attachment.name", help_text="As it was sent.")
    content_type = serializers.CharField(source="attachment.content_type", help_text="Proven by the content.")
    size_bytes = serializers.IntegerField(source="attachment.size_bytes")
    digest = serializers.CharField(source="attachment.digest", help_text="SHA-256 of the file as kept.")
    width_px = serializers.IntegerField(source="attachment.width_px", allow_null=True)
    height_px = serializers.IntegerField(source="attachment.height_px", allow_null=True)
    received_at = serializers.DateTimeField(source="attachment.received_at")
    received_by = Named(source="attachment.received_by", allow_null=True)


class ReceiptPapersShown(Shown):
    rows = PaperShown(many=True)


class PaperContent(Shown):
    id = serializers.IntegerField(source="paper.id")
    content_type = serializers.CharField(source="paper.attachment.content_type")
    content = serializers.CharField(help_text="Base64.")


class PapersOfReceipt(Resource):
    parser_classes = uploads.PARSERS

    def _read(self, receipt_id: int) -> Any:
        return {"rows": rows.of_receipt(self.actor, receipt_id=receipt_id)}

    @doc.reads(
        "list_receipt_papers", shown=ReceiptPapersShown, says="Photos and papers of a receipt, oldest first."
    )
    def get(self, request: Request, receipt_id: int) -> Response:
        del request
        return self.show(self._read(receipt_id), as_=ReceiptPapersShown)

    @doc.acts(
        "attach_to_receipt",
        types=DOCUMENT,
        shown=ReceiptPapersShown,
        made=True,
        says=(
            "Send photos (JPEG, PNG, WebP) or papers (PDF) of a delivery, at most 12 MB each. What a file is "
            "must be proven by its content; photos are made anew, without place and device. One at fault "
            "refuses all."
        ),
    )
    def post(self, request: Request, receipt_id: int) -> Response:
        act = PapersAct(receipt_id=receipt_id, **self._sent(request))
        return self.do(papers.attach, act=act, read=self._read, as_=ReceiptPapersShown, made=True)

    def _sent(self, request: Request) -> dict[str, Any]:
        if not request.content_type.startswith("multipart/"):
            typed = self.typed(PapersTyped)
            return typed | {"files": tuple(SentFile(**file) for file in typed["files"])}
        data: Any = request.data
        form = PapersForm(data={name: data[name] for name in ("shows",) if name in data})
        form.is_valid(raise_exception=True)
        sent = uploads.of_form(request, largest=photos.MOST_BYTES)
        return dict(form.validated_data) | {
            "files": tuple(SentFile(name=name, content=content) for name, content in sent)
        }


class ShortagePdf(Resource):
    @doc.reads_file(
        "read_shortage_note_pdf",
        kind="pdf",
        says="What was short or goes back of a delivery, to sign, as PDF.",
    )
    def get(self, request: Request, receipt_id: int) -> HttpResponse:
        del request
        sheet = deliveries.receipt(self.actor, receipt_id=receipt_id)
        content = shortage_note.pdf(self.actor, sheet=sheet, at=timezone.now())
        return doc.file(f"shortage-{sheet.receipt.number}.pdf", content=content)


class Paper(Resource):
    @doc.reads("read_receipt_paper", shown=PaperContent, says="The content of one photo or paper.")
    def get(self, request: Request, paper_id: int) -> Response:
        del request
        paper = rows.one(self.actor, paper_id=paper_id)
        content = base64.b64encode(attachments.content(paper.attachment)).decode()
        return self.show({"paper": paper, "content": content}, as_=PaperContent)
