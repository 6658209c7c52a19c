"""The Cutting pages: ticking, recording a cut with its offcuts measured, and miscuts, each wrong figure refused at its field."""

import pytest
from django.test import Client
from django.urls import reverse

from plans.models import CuttingSheet, Miscut, SheetOffcut
from quiltbook.people.models import Person
from stash.models import Movement
from tests.factories import inches
from tests.plans.quilts import border_role, cloth, framed, held, only_cloth, only_offcut


@pytest.fixture
def sheet(owner: Person) -> CuttingSheet:
    plan = framed(owner)
    return held(plan, border_role(plan), cloth(owner, "Kelp", inches(42, 18)))


def _url(name: str, sheet: CuttingSheet, *more: int) -> str:
    return reverse(f"plans:{name}", args=[sheet.plan_id, sheet.pk, *more])


def _cut(browser: Client, sheet: CuttingSheet, **typed: str) -> str:
    offcut = SheetOffcut.objects.get()
    data = {
        "day": "2026-11-20",
        f"kept_{offcut.pk}": "on",
        f"width_{offcut.pk}": typed.get("width", "41 1/2"),
        f"length_{offcut.pk}": typed.get("length", "7 in"),
        f"place_{offcut.pk}": typed.get("place", "Box 2"),
    }
    data["day"] = typed.get("day", data["day"])
    answer = browser.post(_url("cut", sheet, only_cloth(sheet).pk), data, follow=True)
    assert answer.status_code == 200
    return answer.content.decode()


def test_it_is_cut_and_its_offcut_comes_as_measured(at_home: Client, sheet: CuttingSheet) -> None:
    page = _cut(at_home, sheet)
    assert "is cut." in page
    offcut = only_offcut(sheet)
    assert (offcut.size, offcut.place, offcut.on_shelf) == (inches(41.5, 7), "Box 2", True)


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"width": ""}, ""),
        ({"width": "0"}, ""),
        ({"length": "-4 in"}, ""),
        ({"length": "2 km"}, ""),
        ({"length": "20 m"}, "cannot be larger"),
        ({"length": "19 in", "width": "42 in"}, "cannot be larger"),
        ({"width": "three"}, ""),
        ({"width": "3 kg"}, "not a length"),
        ({"width": "<script>"}, ""),
        ({"width": "🧵"}, ""),
        ({"width": "9" * 10_000}, ""),
        ({"place": "x" * 81}, "at most 80 characters"),
        ({"day": "yesterday"}, "Write a date like"),
        ({"day": ""}, "Say which day"),
        ({"day": "9999-01-01"}, "still to come"),
    ],
)
def test_a_wrong_figure_is_said_at_its_field_and_nothing_is_cut(
    at_home: Client, sheet: CuttingSheet, typed: dict[str, str], sentence: str
) -> None:
    page = _cut(at_home, sheet, **typed)
    assert not Movement.objects.filter(kind=Movement.Kind.CUT).exists()
    assert 'class="error"' in page
    assert sentence in page
    assert "Box 2" in page or "place" in typed  # what was typed elsewhere is still there
    assert "<script>" not in page.replace("<script src", "")


def test_an_offcut_not_kept_needs_no_size(at_home: Client, sheet: CuttingSheet) -> None:
    offcut = SheetOffcut.objects.get()
    data = {"day": "2026-11-20", f"width_{offcut.pk}": "", f"length_{offcut.pk}": ""}
    at_home.post(_url("cut", sheet, only_cloth(sheet).pk), data)
    assert Movement.objects.get(kind=Movement.Kind.CUT).waste_mm2 > 0


def test_recording_a_cut_twice_is_told_not_done(at_home: Client, sheet: CuttingSheet) -> None:
    _cut(at_home, sheet)
    page = _cut(at_home, sheet)
    assert "already" in page
    assert Movement.objects.filter(kind=Movement.Kind.CUT).count() == 1


def test_a_cut_is_undone_from_its_page(at_home: Client, sheet: CuttingSheet) -> None:
    _cut(at_home, sheet)
    at_home.post(_url("undo_cut", sheet, only_cloth(sheet).pk))
    assert only_cloth(sheet).piece.on_shelf
    assert only_cloth(sheet).cut_movement is None


def test_a_cut_that_is_not_there_cannot_be_ticked(at_home: Client, sheet: CuttingSheet) -> None:
    assert at_home.post(_url("tick", sheet, only_cloth(sheet).pk, 99)).status_code == 404


@pytest.mark.parametrize("count", ["", "0", "-1", "many", "3.5", "9" * 50, "🧵"])
def test_a_miscut_count_that_is_none_is_refused_at_its_field(at_home: Client, sheet: CuttingSheet, count: str) -> None:
    line = only_cloth(sheet).lines.get(part="end")
    answer = at_home.post(
        _url("spoil", sheet, line.pk), {f"line-{line.pk}-count": count, f"line-{line.pk}-note": "slipped"}
    )
    assert answer.status_code == 200
    page = answer.content.decode()
    assert 'class="error"' in page
    assert "slipped" in page
    assert not Miscut.objects.exists()


def test_a_miscut_is_recorded_and_laid_out_again_at_once(at_home: Client, sheet: CuttingSheet) -> None:
    _cut(at_home, sheet, width="42", length="7 1/2")
    line = only_cloth(sheet).lines.get(part="end")
    at_home.post(_url("spoil", sheet, line.pk), {f"line-{line.pk}-count": "1"}, follow=True)
    draft = CuttingSheet.objects.drafts().get()
    assert sum(one.count for one in only_cloth(draft).lines.all()) == 1
    at_home.post(reverse("plans:take_back", args=[sheet.plan_id, Miscut.objects.get().pk]))
    assert not CuttingSheet.objects.drafts().exists()


def test_releasing_from_the_page_frees_the_cloth(at_home: Client, sheet: CuttingSheet) -> None:
    at_home.post(_url("release", sheet))
    sheet.refresh_from_db()
    assert sheet.state == CuttingSheet.State.RELEASED


def test_another_persons_sheet_is_not_found_on_any_address(
    client: Client, sheet: CuttingSheet, stranger: Person
) -> None:
    client.force_login(stranger)
    found = only_cloth(sheet)
    line = found.lines.first()
    assert line is not None
    gets = [_url("sheet", sheet), _url("table", sheet, found.pk), _url("would_do", sheet)]
    gets += [reverse(f"plans:{name}", args=[sheet.plan_id]) for name in ("cutting", "cloth", "left")]
    posts = [_url(name, sheet) for name in ("confirm", "release", "to_buy")]
    posts += [_url(name, sheet, found.pk) for name in ("cut", "undo_cut")]
    posts += [_url("tick", sheet, found.pk, 1), _url("spoil", sheet, line.pk)]
    posts += [reverse(f"plans:{name}", args=[sheet.plan_id]) for name in ("lay_out", "confirm_all")]
    posts += [reverse("plans:allot", args=[sheet.plan_id, "binding"])]
    assert {client.get(url).status_code for url in gets} == {404}
    assert {client.post(url).status_code for url in posts} == {404}
    found.refresh_from_db()
    assert found.cut_movement is None
    assert found.released_at is None


def test_nothing_is_changed_by_looking(at_home: Client, sheet: CuttingSheet) -> None:
    for name in ("release", "confirm", "to_buy"):
        assert at_home.get(_url(name, sheet)).status_code == 405
    assert at_home.get(_url("cut", sheet, only_cloth(sheet).pk)).status_code == 405
