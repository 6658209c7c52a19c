"""The one exception of the stash's services: its message is a sentence that says why not."""


class StashError(Exception):
    """A change of cloth that cannot be made; `str()` of it is fit to show."""
