"""Headers of every answer, the health page, and the certificate that a phone may fetch."""

from datetime import timedelta

import pytest
from django.conf import settings
from django.http import HttpResponse
from django.test import RequestFactory
from django.urls import reverse
from django.utils import timezone

from deploy import clock
from deploy.middleware import response_headers

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def test_answer_carries_the_policies(client):
    headers = client.get("/health/").headers

    policy = {part.strip() for part in headers["Content-Security-Policy"].split(";")}
    assert policy == {
        "default-src 'self'",
        "object-src 'none'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
        "form-action 'self'",
    }
    assert headers["Permissions-Policy"].startswith("camera=(self), ")
    assert headers["Referrer-Policy"] == "same-origin"
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["X-Frame-Options"] == "DENY"


def test_answer_to_somebody_signed_in_is_never_kept():
    request = RequestFactory().get("/")
    request.COOKIES[settings.SESSION_COOKIE_NAME] = "any"

    answer = response_headers(lambda _: HttpResponse(headers={"Cache-Control": "max-age=60"}))(request)

    assert answer.headers["Cache-Control"] == "no-store"


def test_answer_that_signs_somebody_in_is_never_kept():
    def sign_in(_):
        answer = HttpResponse()
        answer.set_cookie(settings.SESSION_COOKIE_NAME, "new")
        return answer

    assert response_headers(sign_in)(RequestFactory().get("/")).headers["Cache-Control"] == "no-store"


def test_answer_to_a_stranger_may_be_kept():
    answer = response_headers(lambda _: HttpResponse())(RequestFactory().get("/"))

    assert "Cache-Control" not in answer.headers


def test_health_names_database_jobs_and_last_sweep(client):
    now = timezone.now()
    clock.note_sweep(now)

    answer = client.get(reverse("health"))

    engine = settings.DATABASES["default"]["ENGINE"].rsplit(".", 1)[-1].removesuffix("3")
    assert answer.status_code == 200
    assert answer.json() == {
        "status": "ok",
        "database": engine,
        "journal_mode": answer.json()["journal_mode"],
        "last_sweep": now.isoformat(),
        "jobs_waiting": 0,
        "jobs_given_up": 0,
    }


def test_health_says_when_no_worker_came_by(client):
    clock.note_sweep(timezone.now() - timedelta(minutes=5))

    assert client.get("/health/").json()["status"] == "jobs are late"


def test_certificate_is_not_found_without_an_authority(client):
    assert client.get(reverse("certificate")).status_code == 404


def test_certificate_of_the_authority_can_be_fetched(client, settings, tmp_path):
    settings.CA_CERTIFICATE = tmp_path / "authority.pem"
    settings.CA_CERTIFICATE.write_text("-----BEGIN CERTIFICATE-----")

    answer = client.get(reverse("certificate"))

    assert answer.headers["Content-Type"] == "application/x-x509-ca-cert"
    assert b"".join(answer.streaming_content) == b"-----BEGIN CERTIFICATE-----"
