"""Less than so much of a notion is little; and a piece scrapped into a bin is taken out of it again when that is undone."""

import django.db.models.deletion
from django.db import migrations, models


def guard_again(apps, schema_editor):
    """SQLite makes the table anew when its columns change, and the trigger of 0005 goes with the old one."""
    if schema_editor.connection.vendor == "sqlite":
        schema_editor.execute(
            "CREATE TRIGGER stash_scrapchange_append_only BEFORE UPDATE ON stash_scrapchange"
            " BEGIN SELECT RAISE(ABORT, 'the ledger is append-only'); END"
        )


class Migration(migrations.Migration):
    dependencies = [("stash", "0005_notions_append_only")]
    operations = [
        migrations.RunPython(migrations.RunPython.noop, guard_again),
        migrations.AddField(
            model_name="notion",
            name="least",
            field=models.DecimalField(
                blank=True,
                decimal_places=3,
                help_text="Less than so much left is little.",
                max_digits=12,
                null=True,
            ),
        ),
        migrations.AddConstraint(
            model_name="notion",
            constraint=models.CheckConstraint(
                condition=models.Q(("least__isnull", True), ("least__gt", 0), _connector="OR"),
                name="notion_least_positive_or_absent",
            ),
        ),
        migrations.AddField(
            model_name="scrapchange",
            name="movement",
            field=models.OneToOneField(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.CASCADE,
                related_name="scrap_change",
                to="stash.movement",
            ),
        ),
        migrations.RunPython(guard_again, migrations.RunPython.noop),
    ]
