"""The template pack "gown": labels, hints, units, errors and the summary that leads to them."""

import re

import pytest
from crispy_forms.helper import FormHelper
from crispy_forms.layout import Fieldset, Layout, Row, Submit
from django import forms
from django.template import Context, Template

from gowngroup.records.fields import ActionForm, LengthField
from gowngroup.records.reader import Reader, reading_as
from gowngroup.records.widgets import DayInput


class LotForm(ActionForm):
    """One field of every kind."""

    name = forms.CharField(help_text="As on the card.")
    width = LengthField(low_um=1, high_um=10**7)
    note = forms.CharField(required=False, widget=forms.Textarea)
    day = forms.DateField(widget=DayInput, initial="2026-03-10")
    is_washed = forms.BooleanField(required=False)
    outcome = forms.ChoiceField(
        label="Which way?", choices=[("a", "A"), ("b", "B")], widget=forms.RadioSelect
    )


class LaidOutForm(LotForm):
    """The same fields in a layout of their own."""

    helper = FormHelper()
    helper.layout = Layout(Fieldset("Cloth", Row("name", "width")), "note", "day", "outcome")
    helper.render_hidden_fields = True
    helper.add_input(Submit("save", "Save the lot"))


def drawn(source: str, **context: object) -> str:
    return Template("{% load crispy_forms_tags %}" + source).render(Context(context))


@pytest.fixture
def bad() -> str:
    """The form as it comes back when nothing was typed but a wrong width."""
    return drawn("{{ form|crispy }}", form=LotForm({"width": "<abc>", "request_key": "k1"}))


def test_the_summary_links_to_every_field_in_error(bad: str) -> None:
    """Each error of the summary leads to an input that is there."""
    summary = bad[: bad.index("</div>")]
    targets = re.findall(r'href="#([^"]+)"', summary)
    assert targets == ["id_name", "id_width", "id_day", "id_outcome_0"]
    assert all(f'id="{target}"' in bad for target in targets)
    assert ">Name: " in summary
    assert ">Which way? " in summary


def test_the_summary_takes_the_focus(bad: str) -> None:
    """The summary is focused and read aloud when the page opens."""
    assert re.search(r'<div class="error-summary" role="alert" tabindex="-1" autofocus>', bad)


def test_every_description_named_is_there(bad: str) -> None:
    """aria-describedby names only hints and errors that stand on the page."""
    named = " ".join(re.findall(r'aria-describedby="([^"]+)"', bad)).split()
    assert "id_name_helptext" in named
    assert "id_outcome_error" in named
    assert [name for name in named if f'id="{name}"' not in bad] == []


def test_what_was_typed_is_kept_and_escaped(bad: str) -> None:
    """A wrong value comes back as it was typed, harmless."""
    assert 'value="&lt;abc&gt;"' in bad
    assert "<abc>" not in bad


def test_the_request_key_comes_back(bad: str) -> None:
    """A form that comes back carries the key it was first given."""
    assert 'name="request_key" value="k1"' in bad


def test_a_form_not_yet_sent_has_no_errors() -> None:
    """A fresh form shows no summary and marks nothing wrong."""
    fresh = drawn("{{ form|crispy }}", form=LotForm())
    assert "error-summary" not in fresh
    assert "aria-invalid" not in fresh


@pytest.mark.parametrize("unit", ["cm", "in"])
def test_the_unit_stands_beside_a_length(unit: str) -> None:
    """The reader's unit stands chosen beside the field, by a name for those who listen."""
    with reading_as(Reader(length_unit=unit)):
        field = drawn("{{ form.width|as_crispy_field }}", form=LotForm())
    assert f"<option selected>{unit}</option>" in field
    assert 'name="width_unit"' in field
    assert 'aria-label="Unit of “Width”"' in field


def test_the_unit_of_a_fixed_length_stands_beside_it() -> None:
    """A length that cannot be changed has its unit beside it and in its label, and nothing to choose."""
    form = LotForm()
    form.fields["width"].disabled = True
    field = drawn("{{ form.width|as_crispy_field }}", form=form)
    assert '<span aria-hidden="true">cm</span>' in field
    assert '<span class="unseen"> (cm)</span>' in field
    assert "<select" not in field


def test_what_may_stay_empty_says_so() -> None:
    """Only fields that may stay empty say so; a tick box needs no such word."""
    fresh = drawn("{{ form|crispy }}", form=LotForm())
    assert fresh.count("(may stay empty)") == 1


def test_choices_stand_in_a_group_with_a_name() -> None:
    """Radio buttons stand in a fieldset named by their question."""
    field = drawn("{{ form.outcome|as_crispy_field }}", form=LotForm())
    assert re.search(r"<fieldset.*?>\s*<legend>Which way?", field)


def test_a_day_is_given_as_browsers_read_it() -> None:
    """The browser's calendar gets the day in its own format."""
    field = drawn("{{ form.day|as_crispy_field }}", form=LotForm())
    assert re.search(r'type="date"[^>]*value="2026-03-10"', field)


def test_layouts_show_every_field_and_the_button() -> None:
    """A form laid out by hand keeps its fields, groups and button, and its hidden key."""
    page = drawn("{% crispy form %}", form=LaidOutForm())
    assert "<legend>Cloth</legend>" in page
    assert 'class="button main"' in page
    assert 'name="request_key"' in page


def test_a_table_of_forms_names_every_input() -> None:
    """Each input in a table of forms has a label, and each error a link."""
    formset = forms.formset_factory(LotForm, extra=2)(
        {"form-TOTAL_FORMS": "2", "form-INITIAL_FORMS": "0", "form-0-name": "Batiste"}
    )
    page = drawn('{% include "gown/_formset_table.html" %}', formset=formset)
    visible = re.findall(r'<(?:input type="(?:text|date|checkbox)"|textarea)[^>]* id="([^"]+)"', page)
    assert len(visible) == 2 * 5
    assert [name for name in visible if f'for="{name}"' not in page] == []
    assert 'href="#id_form-0-width"' in page


def test_errors_of_the_whole_form_stand_in_the_summary() -> None:
    """A refusal that concerns no single field stands at the top, once."""
    form = LotForm({"name": "x", "width": "3", "day": "2026-03-10", "outcome": "a"})
    form.add_error(None, "Somebody else was first.")
    assert drawn("{{ form|crispy }}", form=form).count("Somebody else was first.") == 1
