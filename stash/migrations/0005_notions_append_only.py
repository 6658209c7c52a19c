"""What came and went of notions and scraps is append-only in the database too, as the ledger is; and fabrics get their value from their colour."""

from django.db import migrations

from stash.colour import value_of

TABLES = ["stash_notionchange", "stash_scrapchange"]


def forbid_updates(apps, schema_editor):
    for table in TABLES:
        if schema_editor.connection.vendor == "postgresql":
            # The function is the ledger's own, of 0002.
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


def say_values(apps, schema_editor):
    for fabric in apps.get_model("stash", "Fabric").objects.all():
        fabric.value = value_of(fabric.colour)
        fabric.save(update_fields=["value"])


class Migration(migrations.Migration):
    dependencies = [("stash", "0004_as_a_quilter_keeps_it")]
    operations = [
        migrations.RunPython(forbid_updates, allow_updates),
        migrations.RunPython(say_values, migrations.RunPython.noop),
    ]
