"""Who may see an uploaded photo, and how is it sent? Photos lie under their owner's number and are hers alone.

A stored photo never keeps the name it came with: the address holds nothing a stranger could guess or a
browser could run.
"""

import secrets
from pathlib import PurePosixPath

from django.conf import settings
from django.core.files.storage import default_storage
from django.http import FileResponse, Http404, HttpRequest

CONTENT_TYPES = {".jpg": "image/jpeg", ".png": "image/png", ".webp": "image/webp"}


def photo_path(*, owner: int, kind: str, suffix: str) -> str:
    """Where to store a photo of `kind` ("fabric", "sitting", …), relative to the media folder.

    `suffix` is one of CONTENT_TYPES' keys, chosen from the decoded picture and not from the upload's name.
    """
    if suffix not in CONTENT_TYPES:
        raise ValueError(f"no photo is stored as {suffix}")
    return f"{owner}/{kind}/{secrets.token_urlsafe(16)}{suffix}"


def photo(request: HttpRequest, owner: int, name: str) -> FileResponse:
    """The person's own photo; anybody else's, and anything but a photo, is not found."""
    content_type = CONTENT_TYPES.get(PurePosixPath(name).suffix)
    if request.user.pk != owner or content_type is None or ".." in PurePosixPath(name).parts:
        raise Http404
    try:
        opened = default_storage.open(f"{owner}/{name}")
    except OSError as missing:
        raise Http404 from missing
    response = FileResponse(opened, content_type=content_type)
    response["Cache-Control"] = f"private, max-age={settings.PHOTO_MAX_AGE}, immutable"
    return response
