"""The one exception of the plans' services: its message is a sentence that says why not."""


class PlanError(Exception):
    """A change that cannot be made; `str()` of it is fit to show."""
