import pytest
from django.core import checks
from django.core.management import call_command
from django.core.management.sql import emit_post_migrate_signal
from django.db import DatabaseError, connection, transaction

from inventory.models import triggers
from inventory.models.ledger import Movement, ValueAdjustment
from tests.factories import inventory_stock as made
from tests.factories.cast import NOW

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def recorded():
    """A movement and an adjustment in the ledger."""
    at = made.yard()
    made.receive(at, packs=1)
    move = Movement.objects.get()
    ValueAdjustment.objects.create(
        firm=at.cast.firm,
        place=move.target,
        material=move.material,
        value_minor=1,
        source="late price",
        happened_at=NOW,
        recorded_at=NOW,
        key="a",
    )
    return move


@pytest.mark.parametrize("model", [Movement, ValueAdjustment])
def test_ledger_rows_cannot_be_changed(model):
    recorded()

    with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
        model.objects.update(value_minor=5)


@pytest.mark.parametrize("model", [Movement, ValueAdjustment])
def test_ledger_rows_cannot_be_deleted(model):
    recorded()

    with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
        model.objects.all()._raw_delete("default")


@pytest.mark.parametrize("table", triggers.TABLES)
def test_ledger_tables_cannot_be_emptied_at_once(table):
    recorded()
    if connection.vendor == "postgresql":
        run("SET CONSTRAINTS ALL IMMEDIATE")
        whole = f"TRUNCATE {table} CASCADE"
    else:
        whole = f"DELETE FROM {table}"  # noqa: S608 - a table of ours

    with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
        run(whole)


@pytest.mark.parametrize("table", triggers.TABLES)
@pytest.mark.parametrize("same", ["id", "key"])
def test_ledger_rows_cannot_be_replaced(table, same):
    recorded()
    other = {"id": "key = key || '-other'", "key": "id = id + 100"}[same]
    run(f"CREATE TEMP TABLE forged AS SELECT * FROM {table}")  # noqa: S608 - a table of ours
    run(f"UPDATE forged SET value_minor = 5, {other}")  # noqa: S608 - a table of ours
    replace = {
        "sqlite": f"REPLACE INTO {table} SELECT * FROM forged",  # noqa: S608 - a table of ours
        "postgresql": f"INSERT INTO {table} SELECT * FROM forged "  # noqa: S608 - a table of ours
        f"ON CONFLICT ({same}) DO UPDATE SET value_minor = 5",
    }

    with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
        run(replace[connection.vendor])

    run("DROP TABLE forged")


def run(statement):
    with connection.cursor() as cursor:
        cursor.execute(statement)


def test_no_trigger_is_missing_after_migrate():
    assert triggers.missing() == []


def test_migrate_puts_lifted_triggers_back():
    triggers.lift()
    assert len(triggers.missing()) == 6

    call_command("migrate", verbosity=0)

    assert triggers.missing() == []


@pytest.mark.django_db(transaction=True)
def test_table_remade_by_a_migration_gets_its_triggers_back():
    """Django remakes a table on SQLite when a field is altered, and its triggers vanish with the old one."""
    field = Movement._meta.get_field("key")
    wider = field.clone()
    wider.max_length = field.max_length + 40
    wider.set_attributes_from_name("key")
    wider.model = Movement
    with connection.schema_editor() as editor:
        editor.alter_field(Movement, field, wider)
    lost = triggers.missing()

    emit_post_migrate_signal(verbosity=0, interactive=False, db="default")

    assert lost == (
        [f"inventory_movement_no_{name}" for name in ("update", "delete", "replace")]
        if connection.vendor == "sqlite"
        else []
    )
    assert triggers.missing() == []
    with connection.schema_editor() as editor:
        editor.alter_field(Movement, wider, field)
    triggers.create()


def test_start_up_check_names_what_is_missing():
    assert of_ledger() == []

    triggers.lift()

    (found,) = of_ledger()
    assert found.id == "inventory.W001"
    assert "inventory_movement_no_update" in found.msg


def of_ledger():
    found = checks.run_checks(databases=["default"], tags=["database"])
    return [one for one in found if one.id.startswith("inventory.")]
