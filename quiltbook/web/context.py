"""What does every template know without being told?"""

from django.http import HttpRequest

from quiltbook.measures import System


def measuring(request: HttpRequest) -> dict[str, System]:
    """Give every template `system`: the reader's own, inches for somebody not signed in."""
    usual = getattr(getattr(request, "user", None), "settings", None)
    return {"system": System.INCHES if usual is None else usual.measures}
