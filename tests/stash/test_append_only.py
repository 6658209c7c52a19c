"""The ledger is only ever added to: the models refuse a change, and so does the database."""

from decimal import Decimal
from typing import Any

import pytest
from django.db import DatabaseError, IntegrityError, connection, models, transaction

from quiltbook.people.models import Person
from stash.models import Fabric, Movement, MovementLine, Piece, Purchase
from stash.models.ledger import AppendOnlyError
from stash.services import cloth
from stash.services.cloth import Paid
from tests.factories import NOW, TODAY, inches

pytestmark = pytest.mark.django_db

LEDGER: list[tuple[type[models.Model], str, Any]] = [
    (Movement, "waste_mm2", 5),
    (MovementLine, "change", -1),
    (Purchase, "price", Decimal(1)),
]


@pytest.fixture(autouse=True)
def _purchase(kelp: Fabric) -> None:
    cloth.buy(fabric=kelp, sizes=[inches(1, 1)], paid=Paid(Decimal(9), "EUR"), place="", day=TODAY, now=NOW)


@pytest.mark.parametrize(("model", "field", "value"), LEDGER)
def test_a_row_cannot_be_saved_again_or_deleted(model: type[models.Model], field: str, value: object) -> None:
    row = model._default_manager.get()
    setattr(row, field, value)

    with pytest.raises(AppendOnlyError, match="append-only"):
        row.save()
    with pytest.raises(AppendOnlyError, match="append-only"):
        row.delete()


@pytest.mark.parametrize(("model", "field", "value"), LEDGER)
def test_rows_cannot_be_updated_or_deleted_in_bulk(model: type[models.Model], field: str, value: object) -> None:
    rows = model._default_manager.all()

    with pytest.raises(AppendOnlyError):
        rows.update(**{field: value})
    with pytest.raises(AppendOnlyError):
        rows.bulk_update(rows, [field])
    with pytest.raises(AppendOnlyError):
        rows.delete()


@pytest.mark.parametrize(("model", "field", "value"), LEDGER)
def test_the_database_refuses_an_update_that_goes_round_the_models(
    model: type[models.Model], field: str, value: object
) -> None:
    before = model._default_manager.values().get()

    with (
        pytest.raises((IntegrityError, DatabaseError), match="append-only"),
        transaction.atomic(),
        connection.cursor() as cursor,
    ):
        cursor.execute(f"UPDATE {model._meta.db_table} SET {field} = %s", [str(value)])  # noqa: S608, names of our own

    assert model._default_manager.values().get() == before


def test_removing_an_account_takes_its_ledger_with_it(owner: Person) -> None:
    owner.delete()

    assert not Movement.objects.exists()
    assert not Piece.objects.exists()
