"""What is said of a cloth: its name, kind, width, print, colour and photo."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from quiltbook.measures import NM_PER_METRE, Size, System
from quiltbook.people.models import Person
from quiltbook.web.fields import ColourField, LengthField, PhotoField, Words
from stash.forms.fields import TagsField, choices_error
from stash.models import Fabric
from stash.services import photos
from stash.services.fabrics import UNDYED, Facts

WIDEST = 5 * NM_PER_METRE


class FactsForm(forms.Form):
    """The facts of a new fabric, or of `fabric`. Valid, it gives `facts()` and `photo`, the WebP bytes of a new photo if there is one.

    A photo set aside by an earlier try comes back by its name in `kept_photo`, and is then `kept`; `twin` is the fabric that has the
    name already."""

    def __init__(self, *args: Any, owner: Person, fabric: Fabric | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.owner, self.fabric = owner, fabric
        self.twin: Fabric | None = None
        self.photo: bytes | None = None
        self.kept = ""
        self._add_facts(owner.settings.measures)
        self._add_colours()
        self._add_photo()
        if fabric is None:
            self.initial = {
                "kind": Fabric.Kind.COTTON,
                "print_direction": Fabric.PrintDirection.ANY,
                "usable_width": owner.settings.usable_width,
                "printed_seam": owner.settings.seam_allowance,
                "picked": UNDYED,
                **self.initial,
            }
        else:
            self.initial = {**_said(fabric), **self.initial}

    def _add_facts(self, system: System) -> None:
        self.fields["name"] = Words(
            most=120,
            label="Name",
            needed="Give the cloth a name to know it by.",
            attrs={"autocomplete": "off", "autocapitalize": "sentences"},
        )
        self.fields["kind"] = forms.ChoiceField(
            label="Kind of cloth", choices=Fabric.Kind.choices, error_messages=choices_error("a kind of cloth")
        )
        self.fields["usable_width"] = LengthField(
            system=system, most=WIDEST, label="Usable width", help_text="Across the grain, with the selvedges off."
        )
        self.fields["print_direction"] = forms.ChoiceField(
            label="Direction of the print",
            choices=Fabric.PrintDirection.choices,
            widget=forms.RadioSelect,
            error_messages=choices_error("a direction"),
        )
        self.fields["stripes"] = forms.ChoiceField(
            label="Stripes of the print",
            required=False,
            choices=Fabric.Stripes.choices,
            error_messages=choices_error("a direction"),
        )
        self.fields["repeat_width"] = LengthField(
            system=system,
            most=WIDEST,
            required=False,
            label="Repeat across",
            help_text="From a motif of the print to the next one alike, across the cloth.",
        )
        self.fields["repeat_length"] = LengthField(
            system=system, most=WIDEST, required=False, label="Repeat along", help_text="Likewise along the selvedge."
        )
        self.fields["print_scale"] = forms.ChoiceField(
            label="Scale of the print",
            required=False,
            choices=Fabric.PrintScale.choices,
            error_messages=choices_error("a scale"),
        )
        self.fields["tags"] = TagsField(
            label="Tags",
            help_text="Words of your own to find it by, with commas between: sea, for Ada.",
        )
        self.fields["note"] = Words(most=2000, label="Note", long=True)
        self.fields["printed_width"] = LengthField(
            system=system,
            most=WIDEST,
            required=False,
            label="Printed width",
            help_text="Across the picture, with its printed seam.",
        )
        self.fields["printed_length"] = LengthField(
            system=system, most=WIDEST, required=False, label="Printed length", help_text="From its top to its foot."
        )
        self.fields["printed_seam"] = LengthField(
            system=system,
            most=NM_PER_METRE // 4,
            allow_zero=True,
            required=False,
            label="Printed seam",
            help_text="Meant to go into the seam, on each side; 0 if there is none.",
        )

    def _add_colours(self) -> None:
        self.fields["picked"] = ColourField(required=False, label="Colour")
        self.fields["colour"] = ColourField(
            required=False,
            label="Colour as a code",
            help_text="Like #2f4b7c. Left alone, the colour is taken from the photo." if self.fabric is None else "",
            widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "none", "spellcheck": "false"}),
        )
        if self.fabric is not None and self.fabric.photo and self.fabric.colour_by_hand:
            self.fields["colour_of_photo"] = forms.BooleanField(required=False, label="Take the colour from the photo")
        self.fields["value"] = forms.ChoiceField(
            label="Value",
            required=False,
            choices=[("", "By its colour"), *Fabric.Value.choices],
            help_text="How light or dark it looks beside other cloth.",
            error_messages=choices_error("a value"),
        )

    def _add_photo(self) -> None:
        self.fields["photo"] = PhotoField(
            required=False, label="Photo", widget=forms.FileInput, help_text="A JPEG, PNG or WebP of up to 15 MB."
        )
        if self.fabric is not None and self.fabric.photo:
            self.fields["without_photo"] = forms.BooleanField(
                required=False, label="Show its colour instead of the photo"
            )

    def clean_name(self) -> str:
        name: str = self.cleaned_data["name"]
        others = Fabric.objects.of(self.owner).exclude(pk=self.fabric.pk if self.fabric else 0)
        self.twin = others.filter(name__iexact=name).first()
        if self.twin is not None:
            raise ValidationError(f"You have a fabric called {self.twin.name} already.", code="twin")
        return name

    def _take_photo(self) -> None:
        """The photo just chosen, else the one set aside by an earlier try, which also stays if the one just chosen is no good."""
        fresh, name = self.cleaned_data.get("photo"), str(self.data.get("kept_photo", ""))
        if fresh is not None:
            self.photo = fresh.data
        elif name:
            self.photo = photos.aside(owner=self.owner, name=name)
            self.kept = name if self.photo else ""
            if self.photo is None:
                self.add_error("photo", "The photo is no longer here: choose it again.")

    def clean(self) -> None:
        super().clean()
        self._take_photo()
        data = self.cleaned_data
        if data.get("kind") != Fabric.Kind.PANEL:
            data |= {"printed_width": None, "printed_length": None}
            for name in ("printed_width", "printed_length", "printed_seam"):
                self.errors.pop(name, None)
        else:
            self._whole_or_absent(
                "printed_width", "printed_length", "Give both sides of the printed picture, or neither."
            )
        self._whole_or_absent("repeat_width", "repeat_length", "Give the repeat both ways, or neither.")

    def _whole_or_absent(self, across: str, along: str, sentence: str) -> None:
        data = self.cleaned_data
        if (data.get(across) is None) != (data.get(along) is None):
            missing = along if data.get(along) is None else across
            if missing not in self.errors:
                self.add_error(missing, sentence)

    def facts(self) -> Facts:
        data = self.cleaned_data
        sides = data["printed_width"], data["printed_length"]
        repeat = data["repeat_width"], data["repeat_length"]
        return Facts(
            name=data["name"],
            kind=data["kind"],
            usable_width=data["usable_width"],
            print_direction=data["print_direction"],
            colour=self._colour(),
            printed=Size(*sides) if None not in sides else None,
            printed_seam=data.get("printed_seam") or 0,
            stripes=data["stripes"],
            repeat=Size(*repeat) if None not in repeat else None,
            note=data["note"],
            value=data["value"],
            print_scale=data["print_scale"],
            tags=data["tags"],
        )

    def _colour(self) -> str:
        """The code if she wrote one, else what she picked, else what it was: script keeps both alike, but may be missing. Empty where the
        photo is to say."""
        for name in ("colour", "picked"):
            said: str = self.cleaned_data[name]
            if said and said != self.initial.get(name):
                return said
        if self.fabric is None or not self.fabric.colour_by_hand or self.cleaned_data.get("colour_of_photo"):
            return ""
        return self.fabric.colour


def _said(fabric: Fabric) -> dict[str, object]:
    return {
        "name": fabric.name,
        "kind": fabric.kind,
        "usable_width": fabric.usable_width,
        "print_direction": fabric.print_direction,
        "stripes": fabric.stripes,
        "repeat_width": fabric.repeat_width,
        "repeat_length": fabric.repeat_length,
        "note": fabric.note,
        "printed_width": fabric.printed_width,
        "printed_length": fabric.printed_length,
        "printed_seam": fabric.printed_seam,
        "colour": fabric.colour,
        "picked": fabric.colour,
        "value": fabric.value if fabric.value_by_hand else "",
        "print_scale": fabric.print_scale,
        "tags": ", ".join(tag.name for tag in fabric.tags.all()),
    }
