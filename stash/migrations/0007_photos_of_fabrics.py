"""The photo a fabric has so far becomes the first of its photos."""

from django.core.files.storage import default_storage
from django.db import migrations
from PIL import Image


def as_photos(apps, schema_editor):
    Fabric, Photo = apps.get_model("stash", "Fabric"), apps.get_model("stash", "Photo")
    for fabric in Fabric.objects.exclude(photo="").filter(photos=None):
        size = _size(fabric.photo.name)
        # A file that is not there now may be there again: the fabric goes on naming it.
        if size is not None:
            width, height = size
            Photo.objects.create(
                owner_id=fabric.owner_id, fabric=fabric, position=0, added_at=fabric.created_at,
                whole=fabric.photo.name, medium=fabric.photo.name, small=fabric.thumbnail.name or fabric.photo.name,
                width=width, height=height, right=width, bottom=height,
            )


def _size(name):
    try:
        with default_storage.open(name) as file, Image.open(file) as image:
            return image.size
    except (OSError, ValueError, SyntaxError):
        return None


class Migration(migrations.Migration):

    dependencies = [("stash", "0006_what_is_little_and_scrapped_pieces")]

    # Backwards, the fabric still names the picture itself.
    operations = [migrations.RunPython(as_photos, migrations.RunPython.noop)]
