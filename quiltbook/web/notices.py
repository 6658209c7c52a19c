"""What is said after something was done, and how is it undone?"""

from django.contrib import messages
from django.http import HttpRequest


def say(request: HttpRequest, sentence: str, *, undo: str = "") -> None:
    """Show `sentence` on the next page. `undo` is the address whose POST takes the act back."""
    messages.success(request, sentence, extra_tags=undo)


def warn(request: HttpRequest, sentence: str) -> None:
    """Show `sentence` on the next page as something that did not go as asked."""
    messages.warning(request, sentence)
