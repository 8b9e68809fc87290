"""What the site's form renderer writes around a field."""

from django import forms

KG = {"data-unit": "kg", "data-stepper": "2.5"}


class LoadForm(forms.Form):
    load = forms.DecimalField(help_text="Added to your body mass", widget=forms.NumberInput(attrs=KG))
    note = forms.CharField(required=False)
    side = forms.ChoiceField(choices=[("left", "Left"), ("right", "Right")], widget=forms.RadioSelect)
    agrees = forms.BooleanField()


def drawn(name: str, data: dict[str, str] | None = None) -> str:
    return LoadForm(data)[name].as_field_group()


def test_field_with_a_unit_shows_it_behind_the_input():
    assert '<span class="input-unit__unit">kg</span>' in drawn("load")


def test_field_with_a_stepper_is_wrapped_in_one():
    assert '<number-stepper step="2.5"><input type="number"' in drawn("load")


def test_field_without_unit_or_stepper_has_neither():
    assert not {"input-unit", "number-stepper"} & set(drawn("note").replace("<", " ").replace('"', " ").split())


def test_error_stands_at_the_field_under_the_id_its_input_names():
    html = drawn("load", {"load": "seven"})

    assert 'aria-describedby="id_load_helptext id_load_error"' in html
    assert 'id="id_load_error"><p>Enter a number.</p>' in html


def test_what_was_typed_is_kept_beside_its_error():
    assert 'value="seven"' in drawn("load", {"load": "seven"})


def test_what_was_typed_is_escaped():
    assert "<script>" not in drawn("note", {"note": '"><script>'})


def test_optional_field_says_so_and_a_required_one_does_not():
    assert ["(optional)" in drawn("note"), "(optional)" in drawn("load")] == [True, False]


def test_choices_are_one_group_with_a_legend():
    html = drawn("side")

    assert html.count("<fieldset") == 1
    assert "<legend>Side" in html


def test_tick_box_stands_inside_its_label():
    assert '<label for="id_agrees"><input type="checkbox"' in drawn("agrees")
