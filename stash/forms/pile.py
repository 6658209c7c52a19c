"""What is said of a fabric that was logged by a photo: its name, how much there is and where it lies; the rest has a usual answer."""

from __future__ import annotations

from datetime import date
from typing import Any

from quiltbook.people.models import Person
from quiltbook.web.fields import Words
from stash.forms.arrival import AnAmount
from stash.forms.fabric import FactsForm
from stash.models import Fabric
from stash.services.fabrics import Arrival
from stash.services.pile import Said

_ASKED = ("name", "amount", "place", "kind", "usable_width", "print_direction")


class FillInForm(AnAmount, FactsForm):
    """Few of the facts of a fabric, so that one follows the other quickly. Valid, it gives `said()` and `arrival()`."""

    def __init__(self, *args: Any, owner: Person, fabric: Fabric, place: str = "", **kwargs: Any) -> None:
        FactsForm.__init__(self, *args, owner=owner, fabric=fabric, initial={"name": "", "place": place}, **kwargs)
        self._add_amount(owner, self.typed_width() or fabric.usable_width)
        self.fields["place"] = Words(
            most=80, label="Where it lies", help_text="A shelf, a box, a drawer.", attrs={"list": "places"}
        )
        self.fields = {name: self.fields[name] for name in _ASKED}

    def said(self) -> Said:
        data = self.cleaned_data
        return Said(data["name"], data["kind"], data["usable_width"], data["print_direction"])

    def arrival(self, day: date) -> Arrival:
        """Cloth that was there already: what was paid for it is nobody's question while a pile is put in order."""
        return Arrival(sizes=self.cleaned_data["amount"], day=day, place=self.cleaned_data["place"])
