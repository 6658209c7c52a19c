"""Which file is to be loaded as everything of hers?"""

from __future__ import annotations

from django import forms


class ArchiveForm(forms.Form):
    archive = forms.FileField(
        label="The archive",
        help_text="A ZIP file that Quiltbook made, of up to 1 GB.",
        widget=forms.FileInput(attrs={"accept": ".zip,application/zip"}),
        error_messages={
            "required": "Choose the archive to load.",
            "empty": "That file is empty. Choose an archive.",
            "invalid": "No file arrived. Choose it again.",
        },
    )
