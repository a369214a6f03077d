from projects.models.attachment import Attachment
from projects.models.audit import AuditEntry
from projects.models.drawing import Drawing
from projects.models.firm import Firm, Site
from projects.models.holiday import Holiday
from projects.models.jobs import Counter, IdempotencyKey, Outbox
from projects.models.person import Membership, Person, Role
from projects.models.slab import Pour, Slab

__all__ = [
    "Attachment",
    "AuditEntry",
    "Counter",
    "Drawing",
    "Firm",
    "Holiday",
    "IdempotencyKey",
    "Membership",
    "Outbox",
    "Person",
    "Pour",
    "Role",
    "Site",
    "Slab",
]
