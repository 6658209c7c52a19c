"""How much may be sent at once? No more files than the settings say, and no more bytes than here; what is refused is told in a sentence."""

from typing import IO, Any

from django.conf import settings
from django.core.exceptions import RequestDataTooBig, TooManyFilesSent
from django.core.files.uploadhandler import FileUploadHandler
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

MOST_SENT = 250 * 1024 * 1024


class Bounded(FileUploadHandler):
    """Refuses a form of more than MOST_SENT bytes before anything of it is written down."""

    def handle_raw_input(
        self, input_data: IO[bytes], META: Any, content_length: int, boundary: str, encoding: str | None = None
    ) -> None:
        if content_length > MOST_SENT:
            raise RequestDataTooBig

    def receive_data_chunk(self, raw_data: bytes, start: int) -> bytes:
        return raw_data

    def file_complete(self, file_size: int) -> None:
        return None


def refused(request: HttpRequest, exception: Exception) -> HttpResponse:
    """The page for a request that cannot be taken in."""
    sentence = ""
    if isinstance(exception, TooManyFilesSent):
        most = settings.DATA_UPLOAD_MAX_NUMBER_FILES
        sentence = f"That was more than {most} files at once. Nothing was kept: go back, and send fewer."
    elif isinstance(exception, RequestDataTooBig):
        sentence = (
            f"That was more than {MOST_SENT // 1024 // 1024} MB at once. Nothing was kept: go back, and send less."
        )
    return render(request, "400.html", {"sentence": sentence}, status=400)
