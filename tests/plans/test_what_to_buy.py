"""What a plan still lacks of cloth, how much of it to buy, and onto the shopping list with it."""

import pytest
from django.test import Client
from django.urls import reverse

from plans.models import Plan, ShoppingLine
from plans.queries.buying import BuyingPage, at_once, bought, buying_page, least
from plans.services import layout, plans, rounds
from plans.services.plans import Centre
from plans.services.rounds import RoundSpec
from plans.views.buying import RowOnPage
from quiltbook.measures import NM_PER_INCH as IN
from quiltbook.measures import NM_PER_YARD, Size, System
from quiltbook.people.models import Person
from quiltbook.yardage.buying import Bought, Buying
from quiltbook.yardage.cutting import CuttingError
from tests.factories import NOW, inches
from tests.plans.medallion import work_of
from tests.plans.quilts import border_role, cloth, framed, give, held, laid_out
from tests.plans.typed import soft, words

EIGHTH = NM_PER_YARD // 8


def url(plan: Plan) -> str:
    return reverse("plans:buying", args=[plan.pk])


def least_url(plan: Plan, key: str) -> str:
    return reverse("plans:buying_found", args=[plan.pk, key])


def page_of(plan: Plan) -> BuyingPage:
    return buying_page(plan, work_of(plan))


def rows(client: Client, plan: Plan) -> dict[str, RowOnPage]:
    return {shown.row.key: shown for shown in client.get(url(plan)).context["rows"]}


def put(client: Client, plan: Plan, key: str, way: str, what: str = "") -> str:
    answer = client.post(reverse("plans:buying_put", args=[plan.pk, key]), {"way": way, "cloth": what}, follow=True)
    return words(answer)


@pytest.fixture
def plan(owner: Person) -> Plan:
    return framed(owner)


def test_every_part_without_cloth_is_there_with_what_is_cut_for_it_and_its_length_at_once(
    at_home: Client, plan: Plan
) -> None:
    """Two of 2 1/2 x 10 1/2 and two of 14 1/2 x 2 1/2 in, each size in a strip of its own: four go across 42 in, and two."""
    found = rows(at_home, plan)
    assert list(found) == ["panel", border_role(plan), "backing", "binding"]
    border = found[border_role(plan)]
    assert {(piece.count, piece.size) for piece in border.row.pieces} == {
        (2, Size(5 * IN // 2, 21 * IN // 2)),
        (2, Size(29 * IN // 2, 5 * IN // 2)),
    }
    assert (border.at_once.length, border.at_once.to_buy) == (5 * IN, 2 * EIGHTH)
    assert [soft(how) for how in border.at_once.how] == [
        "One strip of 2 1/2 in across the cloth, four a strip: two needed.",
        "One strip of 2 1/2 in across the cloth, two a strip: two needed.",
    ]


def test_the_least_length_is_looked_for_only_when_asked_and_never_more_than_strips_or_the_handbook(
    at_home: Client, plan: Plan
) -> None:
    bought.cache_clear()
    key = "binding"
    assert not rows(at_home, plan)[key].found
    assert bought.cache_info().currsize == 0
    answer = at_home.get(least_url(plan, key), headers={"HX-Request": "true"})
    shown = answer.context["shown"]
    lengths = [shown.at_once, *(length for _, length, _ in shown.found)]
    assert [length.to_buy for length in lengths] == sorted({length.to_buy for length in lengths}, reverse=True)
    assert shown.no_less == "Laid out by strips, or close with any cuts, it takes no less."
    page = words(answer)
    assert "<html" not in page
    assert "it takes no less" in page
    assert bought.cache_info().currsize == 2


def test_a_way_that_takes_less_is_shown_with_how_it_is_cut(at_home: Client, owner: Person) -> None:
    """Two of 6 1/2 in and two of 10 1/2 in, 2 1/2 in wide, which strip arithmetic cuts from two strips, go on one."""
    plan = framed(owner, centre=6)
    answer = at_home.get(least_url(plan, border_role(plan)), headers={"HX-Request": "true"})
    shown = answer.context["shown"]
    [(way, length, _)] = shown.found
    assert (way, length.length, shown.at_once.length) == ("strips", 5 * IN // 2, 5 * IN)
    assert (length.to_buy, shown.at_once.to_buy) == (EIGHTH, 2 * EIGHTH)
    assert shown.no_less == "Cut close, with more ruler settings, it takes no less."
    page = words(answer)
    assert "The four patches lie within" in page
    assert "<svg" in page


def test_cut_close_the_same_patches_never_take_more_cloth(owner: Person) -> None:
    plan = framed(owner, centre=23, border=8)
    row = page_of(plan).row(border_role(plan))
    assert row is not None
    found = dict(least(row, plan, System.INCHES))
    assert found["close"].length <= found["strips"].length <= at_once(row, plan, System.INCHES).length
    assert found["close"].layout is not None
    assert {place.patch for place in found["close"].layout.placements} == {wanted.id for wanted in row.wanted}


def test_without_scripts_the_least_length_stands_in_the_whole_page(at_home: Client, plan: Plan) -> None:
    answer = at_home.get(least_url(plan, border_role(plan)))
    found = {shown.row.key: bool(shown.found or shown.no_less) for shown in answer.context["rows"]}
    assert found == {"panel": False, border_role(plan): True, "backing": False, "binding": False}
    assert "<html" in words(answer)


def test_a_length_goes_on_the_list_with_what_she_is_looking_for(at_home: Client, plan: Plan) -> None:
    page = put(at_home, plan, border_role(plan), "handbook", "Blue")
    line = ShoppingLine.objects.get()
    assert soft(line.what) == "Blue for the first border, 42 in wide or more"
    assert (line.plan, line.fabric, line.length) == (plan, None, 2 * EIGHTH)
    assert "1/4 yd of First border is on the shopping list." in page
    assert "on the list: 1/4 yd" in soft(page)


def test_asking_again_changes_the_line_there_is(at_home: Client, plan: Plan) -> None:
    put(at_home, plan, "backing", "handbook")
    put(at_home, plan, "backing", "close", "Oat")
    assert soft(ShoppingLine.objects.get().what).startswith("Oat for the backing")
    put(at_home, plan, "binding", "strips")
    assert ShoppingLine.objects.to_buy().count() == 2


def test_a_line_struck_off_is_not_put_back_beside_a_newer_one(at_home: Client, plan: Plan) -> None:
    put(at_home, plan, "backing", "handbook")
    old = ShoppingLine.objects.get()
    act = {name: reverse("plans:shopping_line", args=[old.pk, name]) for name in ("remove", "put-back")}
    at_home.post(act["remove"])
    assert rows(at_home, plan)["backing"].row.on_list is None
    put(at_home, plan, "backing", "handbook")
    assert "already" in words(at_home.post(act["put-back"], follow=True))
    assert ShoppingLine.objects.to_buy().count() == 1


def test_the_length_of_the_line_is_reckoned_again_and_never_taken_from_the_page(at_home: Client, plan: Plan) -> None:
    address = reverse("plans:buying_put", args=[plan.pk, "backing"])
    at_home.post(address, {"way": "handbook", "cloth": "", "length": "1"})
    assert ShoppingLine.objects.get().length == rows(at_home, plan)["backing"].at_once.to_buy


@pytest.mark.parametrize(("sent", "kept"), [({"way": "guess"}, ""), ({"way": "close", "cloth": "x" * 81}, "x" * 81)])
def test_what_cannot_be_put_down_is_refused_and_stays_typed(
    at_home: Client, plan: Plan, sent: dict[str, str], kept: str
) -> None:
    answer = at_home.post(reverse("plans:buying_put", args=[plan.pk, "backing"]), sent)
    assert answer.status_code == 200
    assert kept in words(answer)
    assert not ShoppingLine.objects.exists()


def test_a_fabric_that_is_not_laid_out_is_said_to_be_unknown(owner: Person, plan: Plan) -> None:
    give(plan, border_role(plan), cloth(owner, "Kelp", inches(42, 36)))
    found = page_of(plan)
    assert found.not_laid == ("First border",)
    assert border_role(plan) not in [row.key for row in found.to_buy]


def test_parts_covered_by_the_stash_say_so(at_home: Client, owner: Person, plan: Plan) -> None:
    give(plan, border_role(plan), cloth(owner, "Kelp", inches(42, 36)))
    laid_out(plan)
    assert ("First border", "enough in the stash") in page_of(plan).covered
    assert "enough in the stash" in words(at_home.get(url(plan)))


def test_parts_whose_cloth_is_held_say_so(owner: Person, plan: Plan) -> None:
    held(plan, border_role(plan), cloth(owner, "Kelp", inches(42, 36)))
    found = page_of(plan)
    assert ("First border", "its cloth is held") in found.covered
    assert border_role(plan) not in [row.key for row in found.to_buy]


def test_of_a_fabric_too_small_only_what_is_missing_is_bought(at_home: Client, owner: Person, plan: Plan) -> None:
    """A piece of 15 x 3 in takes one of the border's four pieces."""
    kelp = cloth(owner, "Kelp", inches(15, 3))
    give(plan, border_role(plan), kelp)
    laid_out(plan)
    row = page_of(plan).row(f"fabric-{kelp.pk}")
    assert row is not None
    assert sum(piece.count for piece in row.pieces) == 3
    assert {piece.whose for piece in row.pieces} == {"First border"}
    assert row.width == kelp.usable_width
    put(at_home, plan, row.key, "strips")
    line = ShoppingLine.objects.get()
    assert line.fabric == kelp
    assert line.length is not None
    assert line.length % EIGHTH == 0


def test_of_a_fabric_with_a_count_the_rest_of_the_part_is_bought_as_another(owner: Person, plan: Plan) -> None:
    give(plan, border_role(plan), cloth(owner, "Kelp", inches(42, 36)), count=3)
    laid_out(plan)
    row = page_of(plan).row(border_role(plan))
    assert row is not None
    assert sum(piece.count for piece in row.pieces) == 1


def test_a_printed_panel_is_bought_whole(at_home: Client, owner: Person) -> None:
    centre = Centre(width=24 * IN, length=18 * IN, printed=Size(25 * IN, 19 * IN), printed_seam=IN // 2)
    plan = plans.start(owner=owner, name="Heron", centre=centre, now=NOW)
    assert "A printed panel is bought whole: 25 × 19 in" in words(at_home.get(url(plan)))
    put(at_home, plan, "panel", "panel", "Heron panel")
    line = ShoppingLine.objects.get()
    assert (line.what, line.length) == ("Heron panel for the panel", None)


def test_patches_that_go_on_no_length_are_said_to_be_too_wide(at_home: Client, owner: Person) -> None:
    plan = plans.start(owner=owner, name="Wide", centre=Centre(width=60 * IN, length=60 * IN), now=NOW)
    assert "These go on no length of cloth 42 in wide." in words(at_home.get(url(plan)))
    assert "go on no length" in words(at_home.get(least_url(plan, "panel")))
    assert "look for wider cloth" in put(at_home, plan, "panel", "close")
    assert not ShoppingLine.objects.exists()


def test_squaring_up_the_cut_end_is_bought_too(at_home: Client, plan: Plan) -> None:
    before = rows(at_home, plan)["binding"].at_once
    Plan.objects.filter(pk=plan.pk).update(straightening=2 * IN)
    after = rows(at_home, plan)["binding"].at_once
    assert after.length == before.length + 2 * IN
    assert soft(after.how[-1]) == "Squaring up the cut end takes 2 in more."
    row = page_of(plan).row("binding")
    assert row is not None
    plan.refresh_from_db()
    for _, length in least(row, plan, System.INCHES):
        assert "Squaring up the cut end takes 2 in more." in map(soft, length.how)


def test_more_cloth_than_a_shop_could_cut_is_said(plan: Plan) -> None:
    def beyond(job: Buying) -> Bought:
        raise CuttingError("patches", "they take more than a kilometre of this cloth.")

    row = page_of(plan).row("backing")
    assert row is not None
    for _, length in least(row, plan, System.INCHES, buy=beyond):
        assert (length.length, length.missing) == (0, 1)
        assert length.how == ("That is more cloth than a shop could cut.",)


def test_a_quilt_with_all_its_cloth_has_nothing_to_buy(at_home: Client, owner: Person) -> None:
    plan = framed(owner)
    kelp = cloth(owner, "Kelp", *[inches(42, 72)] * 3)
    for role in work_of(plan).roles:
        give(plan, role.key, kelp)
    layout.lay_out_plan(plan=plan, now=NOW)
    assert "Every part of this quilt has its cloth." in words(at_home.get(url(plan)))


def test_the_page_is_linked_where_cloth_is_given_and_where_the_quilt_is_finished(at_home: Client, plan: Plan) -> None:
    for name in ("plans:cloth", "plans:finishing"):
        assert url(plan) in words(at_home.get(reverse(name, args=[plan.pk])))


def test_a_plan_that_is_over_can_be_read_but_puts_nothing_on_the_list(at_home: Client, plan: Plan) -> None:
    Plan.objects.filter(pk=plan.pk).update(state="given up")
    assert "Put it on the list" not in words(at_home.get(url(plan)))
    put(at_home, plan, "backing", "handbook")
    assert not ShoppingLine.objects.exists()


def test_another_persons_plan_and_rows_that_are_not_there_are_not_found(
    client: Client, at_home: Client, plan: Plan, stranger: Person
) -> None:
    assert at_home.get(least_url(plan, "no-such-part"), headers={"HX-Request": "true"}).status_code == 404
    assert (
        at_home.post(reverse("plans:buying_put", args=[plan.pk, "no-such-part"]), {"way": "close"}).status_code == 404
    )
    client.force_login(stranger)
    assert client.get(url(plan)).status_code == 404
    assert client.get(least_url(plan, "backing")).status_code == 404
    assert client.post(reverse("plans:buying_put", args=[plan.pk, "backing"]), {"way": "close"}).status_code == 404


def test_a_plan_that_cannot_be_worked_out_shows_why_and_lacks_nothing(at_home: Client, plan: Plan) -> None:
    rounds.add(plan=plan, spec=RoundSpec(width=2 * IN), now=NOW)
    Plan.objects.filter(pk=plan.pk).update(usable_width=IN // 4, backing_width=IN // 4)
    assert "cannot be worked out" in words(at_home.get(url(plan)))
