"""How every form of the site is drawn: label, help, error at the field, units and steppers."""

from typing import Any

from django.forms.renderers import TemplatesSetting
from django.http import HttpRequest

FIELD_TEMPLATE = "forms/field.html"


class FormRenderer(TemplatesSetting):
    form_template_name = "forms/form.html"
    field_template_name = FIELD_TEMPLATE

    def render(self, template_name: str, context: dict[str, Any], request: HttpRequest | None = None) -> str:
        """Hand `data-unit` and `data-stepper` of the widget to the field's template."""
        if template_name == FIELD_TEMPLATE:
            attrs = context["field"].field.widget.attrs
            context = context | {"unit": attrs.get("data-unit"), "step": attrs.get("data-stepper")}
        return super().render(template_name, context, request)
