"""Hands a phone the certificate of this machine's own authority, to be told to trust it."""

from django.conf import settings
from django.http import FileResponse, Http404, HttpRequest
from django.views.decorators.http import require_safe


@require_safe
def page(request: HttpRequest) -> FileResponse:
    """The authority's certificate, which is public; not found where there is none."""
    del request
    if settings.CA_CERTIFICATE is None or not settings.CA_CERTIFICATE.is_file():
        raise Http404
    return FileResponse(
        settings.CA_CERTIFICATE.open("rb"),
        content_type="application/x-x509-ca-cert",
        as_attachment=True,
        filename="pourtally-authority.crt",
    )
