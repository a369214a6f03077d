"""Start-up check: the ledger's triggers are in place."""

from collections.abc import Sequence
from typing import Any

from django.core import checks
from django.core.checks import CheckMessage, Tags
from django.db import connections

from inventory.models import triggers


@checks.register(Tags.database)
def ledger_is_append_only(*, databases: Sequence[str] | None = None, **_: Any) -> list[CheckMessage]:
    """Name the triggers that are missing. A warning and no error, because migrate puts them back."""
    found: list[CheckMessage] = []
    for alias in databases or ():
        if triggers.TABLES[0] not in connections[alias].introspection.table_names():
            continue
        missing = triggers.missing(using=alias)
        if missing:
            text = f"The ledger can be changed: trigger {', '.join(missing)} is missing."
            found.append(checks.Warning(text, hint="Run migrate; it puts them back.", id="inventory.W001"))
    return found
