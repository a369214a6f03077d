from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class EstimatesConfig(AppConfig):
    name = "estimates"
    verbose_name = _("Estimates")
    default_auto_field = "django.db.models.BigAutoField"
