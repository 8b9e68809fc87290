"""Forms of the training room, by subject."""

from programs.forms.blocks import (
    BlockForm,
    EditBlockForm,
    NewSessionForm,
    PublishForm,
    SessionForm,
    VersionForm,
    initial_of_block,
)
from programs.forms.days import CalendarForm, ExcuseForm
from programs.forms.instead import InsteadForm
from programs.forms.lines import EdgeFormSet, LineForm
from programs.forms.movements import MovementForm, movement_initial
from programs.forms.public_sessions import PublicSessionForm
from programs.forms.row_sets import BaseRowFormSet, row_formset
from programs.forms.rows import RowForm, initial_of
from programs.forms.search import SearchForm
from programs.forms.templates import BeginForm, GiveForm, KeepForm, TemplateForm
from programs.forms.weeks import RepeatForm

__all__ = [
    "BaseRowFormSet",
    "BeginForm",
    "BlockForm",
    "CalendarForm",
    "EdgeFormSet",
    "EditBlockForm",
    "ExcuseForm",
    "GiveForm",
    "InsteadForm",
    "KeepForm",
    "LineForm",
    "MovementForm",
    "NewSessionForm",
    "PublicSessionForm",
    "PublishForm",
    "RepeatForm",
    "RowForm",
    "SearchForm",
    "SessionForm",
    "TemplateForm",
    "VersionForm",
    "initial_of",
    "initial_of_block",
    "movement_initial",
    "row_formset",
]
