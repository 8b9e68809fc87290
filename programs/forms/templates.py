"""Forms of templates: keeping a block as one, and beginning drafts from it."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _
from django.utils.translation import ngettext

from clients.models import Client
from programs.forms.fields import DayField
from programs.models import BlockTemplate

MOST_CLIENTS_AT_ONCE = 50


class TemplateForm(forms.Form):
    title = forms.CharField(
        label=_("Name"), max_length=120, help_text=_("Everybody on your team reads it: no client's name, please.")
    )
    about = forms.CharField(
        label=_("Whom it is for, and how it goes"),
        max_length=500,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )


class TemplateChoice(forms.ModelChoiceField):
    def label_from_instance(self, template: BlockTemplate) -> str:
        weeks = ngettext("%(n)d week", "%(n)d weeks", template.weeks) % {"n": template.weeks}
        return f"{template.title} · {weeks}"


class KeepForm(TemplateForm):
    instead_of = TemplateChoice(
        label=_("In the place of"),
        queryset=BlockTemplate.objects.none(),
        to_field_name="uuid",
        required=False,
        empty_label=_("None: a new template"),
        help_text=_("What that template held is gone then. Drafts that came from it stay."),
    )

    def __init__(self, *args: Any, templates: QuerySet[BlockTemplate], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["instead_of"].queryset = templates  # type: ignore[attr-defined]


class FirstWeekForm(forms.Form):
    starts_on = DayField(
        label=_("First week"),
        help_text=_("Any day of it; weeks run from Monday to Sunday."),
    )


class BeginForm(FirstWeekForm):
    template = TemplateChoice(label=_("Template"), queryset=BlockTemplate.objects.none(), to_field_name="uuid")
    title = forms.CharField(
        label=_("Name"), max_length=120, required=False, help_text=_("The template's, if you leave it empty.")
    )
    field_order = ("template", "starts_on", "title")

    def __init__(self, *args: Any, templates: QuerySet[BlockTemplate], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field: Any = self.fields["template"]
        field.queryset = templates
        # With the first key a coach is in it: a letter or an arrow chooses.
        field.widget.attrs |= {"autofocus": True, "data-key": "t"}
        field.empty_label = None if len(templates) == 1 else _("Choose one")


class GiveForm(FirstWeekForm):
    """One template for several clients; without a day, each begins in their own first free week."""

    starts_on = DayField(
        label=_("First week"),
        required=False,
        help_text=_("Any day of it. Left empty, each client begins in the week after their last block."),
    )
    everyone = forms.BooleanField(label=_("All of these clients"), required=False)
    clients = forms.MultipleChoiceField(
        label=_("For whom"), required=False, widget=forms.CheckboxSelectMultiple, choices=()
    )
    field_order = ("starts_on", "everyone", "clients")

    def __init__(self, *args: Any, clients: Sequence[Client], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.active = list(clients)
        field: Any = self.fields["clients"]
        field.choices = [(str(client.uuid), client.name) for client in self.active]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if not self.errors and not 1 <= len(self.chosen()) <= MOST_CLIENTS_AT_ONCE:
            words = _now("Choose one client at least, and %(most)d at most.") % {"most": MOST_CLIENTS_AT_ONCE}
            self.add_error("clients", words)
        return cleaned

    def chosen(self) -> list[Client]:
        if self.cleaned_data.get("everyone"):
            return self.active
        wanted = set(self.cleaned_data.get("clients", ()))
        return [client for client in self.active if str(client.uuid) in wanted]
