"""What time is it where the reader is? Views ask here and hand the answer on; nothing below them reads a clock."""

from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.utils import timezone


def now() -> datetime:
    """This moment."""
    return timezone.now()


def today(time_zone: str) -> date:
    """The day it is in `time_zone`, an IANA name such as a person's settings hold."""
    return timezone.localdate(timezone=ZoneInfo(time_zone))
