from django.apps import AppConfig
from django.db.models.signals import post_migrate
from django.utils.translation import gettext_lazy as _


class InventoryConfig(AppConfig):
    name = "inventory"
    verbose_name = _("Inventory")
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from inventory import checks  # noqa: F401, PLC0415 - registers; models load only once apps are ready
        from inventory.models import triggers  # noqa: PLC0415 - models load only once apps are ready

        # Django remakes tables on SQLite and drops their triggers silently; each migrate puts them back.
        post_migrate.connect(triggers.create, sender=self, dispatch_uid="inventory.triggers")
