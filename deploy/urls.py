"""Every address of the service. The apps own theirs; only the health page belongs to running it."""

from django.urls import include, path

from deploy import certificate, health

handler500 = "deploy.broken.server_error"

urlpatterns = [
    path("health/", health.page, name="health"),
    path("certificate/", certificate.page, name="certificate"),
    path("", include("projects.urls")),
    path("", include("estimates.urls")),
    path("", include("inventory.urls")),
    path("api/", include("api.urls")),
]
