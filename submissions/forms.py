"""What people type about clips, questions and reviews."""

from django import forms
from django.utils.translation import gettext_lazy as _

from submissions.choices import CameraSide


class ClipForm(forms.Form):
    """What goes with a clip; the file itself is sent in pieces (submissions.api)."""

    camera_side = forms.ChoiceField(label=_("Which side does the camera see?"), choices=CameraSide)
    question = forms.CharField(
        label=_("What would you like looked at?"),
        required=False,
        max_length=1000,
        widget=forms.Textarea(attrs={"rows": 3}),
    )


class NewUploadForm(ClipForm):
    """The metadata of a new upload, which is whatever the sender says it is."""

    scheduled = forms.UUIDField()
    prescription = forms.UUIDField()
