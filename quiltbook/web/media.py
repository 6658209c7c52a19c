"""Who may see an uploaded photo, and how is it sent? Photos lie under their owner's number and are hers alone."""

from pathlib import PurePosixPath

from django.core.files.storage import default_storage
from django.http import FileResponse, Http404, HttpRequest

CONTENT_TYPES = {".webp": "image/webp", ".png": "image/png", ".jpg": "image/jpeg"}
WEEK = 7 * 24 * 3600


def photo(request: HttpRequest, owner: int, name: str) -> FileResponse:
    """The person's own photo; anybody else's, and anything but a photo, is not found."""
    path = PurePosixPath(name)
    content_type = CONTENT_TYPES.get(path.suffix)
    if request.user.pk != owner or content_type is None or ".." in path.parts:
        raise Http404
    try:
        opened = default_storage.open(f"{owner}/{path}")
    except OSError as missing:
        raise Http404 from missing
    response = FileResponse(opened, content_type=content_type)
    # A stored photo's bytes never change under its name, so the browser need not ask again.
    response["Cache-Control"] = f"private, max-age={WEEK}, immutable"
    return response
