"""Was this row of a file taken in before? What was imported is remembered by its digest, so that the same file twice adds nothing."""

from __future__ import annotations

from django.conf import settings
from django.db import models


class ImportedRow(models.Model):
    """`digest`: of the row's cells, and of how many rows like it stood before it in the file."""

    owner = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="imported_rows")
    digest = models.CharField(max_length=64)
    imported_at = models.DateTimeField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["owner", "digest"], name="row_imported_once_per_owner")]

    def __str__(self) -> str:
        return self.digest
