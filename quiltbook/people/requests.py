"""What does a view know of the request it answers, once the sign-in middleware has let it through?"""

from datetime import date

from quiltbook.people.models import Person
from quiltbook.web import clock
from quiltbook.web.fragments import HtmxRequest


class PersonRequest(HtmxRequest):
    """A request of somebody signed in: `user` is the owner of all that may be shown or changed."""

    user: Person


def today(request: PersonRequest) -> date:
    """The day it is where she is."""
    return clock.today(request.user.settings.time_zone)
