"""The ledger is append-only in the database too: a trigger refuses any change of a row already written.

Deleting is refused by the models; it is left open in the database because removing a person's account removes her ledger with it."""

from django.db import migrations

TABLES = ["stash_movement", "stash_movementline", "stash_purchase"]


def forbid_updates(apps, schema_editor):
    if schema_editor.connection.vendor == "postgresql":
        schema_editor.execute(
            "CREATE FUNCTION stash_append_only() RETURNS trigger LANGUAGE plpgsql AS "
            "$$ BEGIN RAISE EXCEPTION 'the ledger is append-only' USING ERRCODE = 'integrity_constraint_violation'; END $$"
        )
    for table in TABLES:
        if schema_editor.connection.vendor == "postgresql":
            schema_editor.execute(
                f"CREATE TRIGGER {table}_append_only BEFORE UPDATE ON {table} FOR EACH ROW EXECUTE FUNCTION stash_append_only()"
            )
        else:
            schema_editor.execute(
                f"CREATE TRIGGER {table}_append_only BEFORE UPDATE ON {table} BEGIN SELECT RAISE(ABORT, 'the ledger is append-only'); END"
            )


def allow_updates(apps, schema_editor):
    for table in TABLES:
        on_table = f" ON {table}" if schema_editor.connection.vendor == "postgresql" else ""
        schema_editor.execute(f"DROP TRIGGER {table}_append_only{on_table}")
    if schema_editor.connection.vendor == "postgresql":
        schema_editor.execute("DROP FUNCTION stash_append_only()")


class Migration(migrations.Migration):
    dependencies = [("stash", "0001_initial")]
    operations = [migrations.RunPython(forbid_updates, allow_updates)]
