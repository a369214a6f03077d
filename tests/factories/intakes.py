"""Files of an engineer's office on record, read without a process of their own."""

from __future__ import annotations

import hashlib
import json

from estimates.calc.intake import files
from estimates.models import Intake, IntakeFile
from projects.access.actor import Actor
from projects.models import Slab
from tests.factories.cast import NOW


def read_table(by: Actor, *, on: Slab, mark: str) -> Intake:
    """An intake with one bar schedule of one bar."""
    content = f"Mark,Member,Size,Shape,A,No.\n{mark},slab,T10,straight,3.92 m,12\n".encode()
    found = json.loads(files.to_json(files.read(content, name="bars.csv")))
    intake = Intake.objects.create(slab=on, created_by_id=by.person_id, created_at=NOW, changed_at=NOW)
    IntakeFile.objects.create(
        intake=intake,
        name=f"{mark}.csv",
        kind="csv",
        size_bytes=len(content),
        digest=hashlib.sha256(content).hexdigest(),
        content=content,
        found=found,
        received_at=NOW,
    )
    return intake
