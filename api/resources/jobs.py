"""Background jobs as the office sees them."""

from __future__ import annotations

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api import doc, pagination
from api.fields import Nothing, Shown
from api.pagination import PageAsked
from api.resource import Resource
from projects.access.permissions import Permission
from projects.queries import jobs as rows
from projects.services import jobs
from projects.services.jobs import RetryAct


class JobShown(Shown):
    id = serializers.IntegerField()
    job = serializers.CharField()
    created_at = serializers.DateTimeField()
    due_at = serializers.DateTimeField()
    started_at = serializers.DateTimeField(allow_null=True)
    attempts = serializers.IntegerField()
    done_at = serializers.DateTimeField(allow_null=True)
    failed_at = serializers.DateTimeField(allow_null=True, help_text="Given up then.")
    last_error = serializers.CharField()


class Jobs(Resource):
    reading_needs = Permission.PLAN_ORDERS

    @doc.lists("list_jobs", shown=JobShown, says="The firm's background jobs, newest first.")
    def get(self, request: Request) -> Response:
        del request
        asked = self.asked(PageAsked)
        return self.page(pagination.sliced(asked, of=rows.recent(self.actor)), as_=JobShown)


class Retry(Resource):
    @doc.acts(
        "retry_job",
        types=Nothing,
        shown=JobShown,
        says="Put a job that was given up back to the waiting ones.",
    )
    def post(self, request: Request, job_id: int) -> Response:
        del request
        act = RetryAct(job_id=job_id, **self.typed(Nothing))
        return self.do(jobs.retry, act=act, as_=JobShown)
