"""Do templates show figures in the reader's system, and components that work by keyboard and by ear?"""

import re
from typing import Any
from xml.etree.ElementTree import parse

import pytest
from django import forms
from django.conf import settings
from django.template import Context, Template
from django.test import RequestFactory

from quiltbook.measures import NM_PER_INCH, NM_PER_YARD, Size, System


def shown(source: str, **context: Any) -> str:
    text: str = Template("{% load quiltbook %}" + source).render(Context(context))
    return text.replace("\u00a0", " ").strip()


@pytest.mark.parametrize(
    ("source", "inches", "metric"),
    [
        ("{% length one %}", "2 1/2 in", "6.35 cm"),
        ("{% size piece %}", "18 × 21 in", "45.72 × 53.34 cm"),
        ("{% size one one %}", "2 1/2 × 2 1/2 in", "6.35 × 6.35 cm"),
        ("{% amount cloth %}", "1 1/2 yd", "about 1.37 m"),
        ("{% area 64516 %}", "100 sq in", "645 cm²"),
        ("{% length none %}{% size none %}{% amount none %}{% area none %}", "––––", "––––"),
    ],
)
def test_a_figure_is_written_in_the_reader_s_own_system(source: str, inches: str, metric: str) -> None:
    figures = {
        "one": 5 * NM_PER_INCH // 2,
        "piece": Size(18 * NM_PER_INCH, 21 * NM_PER_INCH),
        "cloth": 3 * NM_PER_YARD // 2,
        "none": None,
    }
    assert shown(source, system=System.INCHES, **figures) == inches
    assert shown(source, system=System.METRIC, **figures) == metric


def test_a_figure_is_never_broken_over_two_lines() -> None:
    text = Template("{% load quiltbook %}{% length nm %}").render(Context({"nm": 19 * NM_PER_INCH // 8}))
    assert " " not in text


class _Form(forms.Form):
    name = forms.CharField(help_text="What you call it.")
    note = forms.CharField(required=False)
    kind = forms.ChoiceField(choices=[("a", "A"), ("b", "B")], widget=forms.RadioSelect)
    secret = forms.CharField(widget=forms.HiddenInput, required=False)


def test_a_field_ties_its_label_help_and_error_to_its_control() -> None:
    html = shown("{% field form.name %}", form=_Form({"name": ""}))
    assert '<label for="id_name">Name</label>' in html
    assert 'aria-describedby="id_name_helptext id_name_error"' in html
    assert 'aria-invalid="true"' in html
    assert '<p class="error" id="id_name_error">This field is required.</p>' in html


def test_a_field_that_may_stay_empty_says_so_and_a_choice_is_a_group() -> None:
    form = _Form()
    assert "if you like" in shown("{% field form.note %}", form=form)
    assert "<legend>Kind</legend>" in shown("{% field form.kind %}", form=form)
    assert shown("{% field form.secret %}", form=form).startswith('<input type="hidden"')


def test_the_error_summary_leads_to_each_field_that_is_wrong() -> None:
    source = '{% include "components/error_summary.html" with form=form %}'
    html = shown(source, form=_Form({"name": "", "kind": "c"}))
    assert '<a href="#id_name">Name</a>' in html
    assert "Kind" in html
    assert shown(source, form=_Form({"name": "x", "kind": "a"})).count("<div") == 0


@pytest.mark.parametrize(
    ("path", "url", "here"),
    [("/stash/7/", "/stash/", True), ("/stash/", "/stash/", True), ("/plans/", "/", False), ("/", "/", True)],
)
def test_the_place_where_the_reader_stands_is_marked(path: str, url: str, here: bool) -> None:
    html = shown(f'{{% nav_link "{url}" "Stash" "shelf" %}}', request=RequestFactory().get(path))
    assert ('aria-current="page"' in html) is here


def test_every_icon_named_in_a_template_is_drawn() -> None:
    drawn = {symbol.get("id") for symbol in parse(settings.BASE_DIR / "static" / "icons.svg").getroot()}  # noqa: S314
    named = {
        name
        for template in (settings.BASE_DIR / "templates").rglob("*.html")
        for name in re.findall(r'{% icon "([a-z]+)"', template.read_text())
    }
    assert named
    assert named <= drawn


def test_what_is_asked_before_it_is_done_says_what_and_sends_a_form() -> None:
    html = shown('{% confirm "Remove" "/x/" "Its sizes go with it." do="Remove this round" %}', csrf_token="t")
    assert html.count("<form") == 1
    assert 'action="/x/"' in html
    assert "csrfmiddlewaretoken" in html
    assert "Its sizes go with it." in html


def test_progress_is_said_in_words_as_well() -> None:
    assert re.search(r"<b>17</b> of 28\s+motifs sewn", shown('{% progress 17 28 "motifs sewn" %}'))


@pytest.mark.parametrize("photo", ["", "/media/1/kelp.webp"])
def test_a_swatch_has_its_cloth_s_name(photo: str) -> None:
    html = shown('{% swatch "Kelp" colour="#4f6b58" photo=photo %}', photo=photo)
    assert ('alt="Kelp"' in html) is bool(photo)
    assert ('aria-label="Kelp"' in html) is not bool(photo)


@pytest.mark.parametrize(
    ("told", "kept"),
    [
        ("Such as 1 1/2 yd, fat quarter, 18 x 22 in.", ["1 1/2 yd", "18 x 22 in"]),
        ("Several pieces: 3 x 1/2 yd, or 45 × 55 cm.", ["3 x 1/2 yd", "45 × 55 cm"]),
        ("Empty: 12 in.", ["12 in"]),
        ("Of 3 stages and 2 more.", []),
    ],
)
def test_a_figure_in_a_help_text_does_not_break_over_a_line(told: str, kept: list[str]) -> None:
    field = forms.CharField(help_text=told)
    html = Template("{% load quiltbook %}{% field bound %}").render(
        Context({"bound": forms.Form().fields.setdefault("one", field).get_bound_field(forms.Form(), "one")})
    )
    expected = told
    for figure in kept:
        expected = expected.replace(figure, figure.replace(" ", "\u00a0"))
    assert expected in html
