"""British or American words, on whichever side a sentence was written, with nothing else touched."""

import pytest
from django.http import HttpResponse
from django.test import RequestFactory
from hypothesis import given
from hypothesis import strategies as st

from quiltbook.people.models import Person
from quiltbook.web.loader import spoken
from quiltbook.web.words import PAIRS, WordsMiddleware, in_words, speaking, worded


@pytest.mark.parametrize(
    ("said", "british", "american"),
    [
        ("Wadding off a roll", "Wadding off a roll", "Batting off a roll"),
        ("selvedges off", "selvedges off", "selvages off"),
        ("Along the SELVAGE.", "Along the SELVEDGE.", "Along the SELVAGE."),
        ("Centre: baste shapes", "Centre: tack shapes", "Centre: baste shapes"),
        ("Tacking is done; tacked by hand", "Tacking is done; tacked by hand", "Basting is done; basted by hand"),
        ("Basting spray, 3 cans", "Basting spray, 3 cans", "Basting spray, 3 cans"),
        ("How much yardage", "How much metreage", "How much yardage"),
        # Only whole words: a tackle is no tack.
        ("tackle, wastebaste, battingly", "tackle, wastebaste, battingly", "tackle, wastebaste, battingly"),
    ],
)
def test_whole_words_turn_both_ways_and_keep_their_capitals(said: str, british: str, american: str) -> None:
    assert (in_words(said, "uk"), in_words(said, "us")) == (british, american)


@given(text=st.text(max_size=60) | st.sampled_from([word for pair in PAIRS for word in pair]))
def test_turning_a_sentence_twice_is_turning_it_once(text: str) -> None:
    for words in ("uk", "us"):
        assert in_words(in_words(text, words), words) == in_words(text, words)


@given(words=st.lists(st.sampled_from([*(w for pair in PAIRS for w in pair), "the", "of", "quilt"]), max_size=12))
def test_to_american_and_back_is_british_straight_away(words: list[str]) -> None:
    text = " ".join(words)
    assert in_words(in_words(text, "us"), "uk") == in_words(text, "uk")


def test_the_reader_is_asked_only_when_a_sentence_is_made() -> None:
    label = worded("Along the selvage")
    asked = []

    def whose() -> str:
        asked.append(1)
        return "us"

    with speaking(whose):
        assert not asked
        assert str(label) == "Along the selvage"
    assert str(label) == "Along the selvedge"
    assert len(asked) == 1


@pytest.mark.django_db
def test_a_page_speaks_as_whoever_is_signed_in_does_and_the_next_as_its_own_reader(
    owner: Person, friend: Person
) -> None:
    owner.settings.words = "us"
    speak = WordsMiddleware(lambda request: HttpResponse(in_words("wadding")))
    heard = []
    for person in (owner, friend, None):
        request = RequestFactory().get("/")
        if person:
            request.user = person
        heard.append(speak(request).text)
    assert heard == ["batting", "wadding", "wadding"]


@pytest.mark.parametrize(
    ("source", "turned"),
    [
        ("<p>Wadding and {{ wadding }}</p>", '<p>{% word "Wadding" %} and {{ wadding }}</p>'),
        # Names are names: ids, classes, addresses, variables, and words in a tag.
        (
            '<a class="wadding" href="{% url "x:wadding" %}">x</a>',
            '<a class="wadding" href="{% url "x:wadding" %}">x</a>',
        ),
        ("{% if a > b %}selvedge{% endif %}", '{% if a > b %}{% word "selvedge" %}{% endif %}'),
        (
            '<b{% if a < b %} class="tack"{% endif %}>tack</b>',
            '<b{% if a < b %} class="tack"{% endif %}>{% word "tack" %}</b>',
        ),
        ("{# wadding #}wadding", '{# wadding #}{% word "wadding" %}'),
        ("<p hx-vals='{\"wadding\": 1}'>baste</p>", '<p hx-vals=\'{"wadding": 1}\'>{% word "baste" %}</p>'),
        ("<p>Basting spray</p>", "<p>Basting spray</p>"),
        ("{{ wadding.words }}\n<!-- wadding -->", "{{ wadding.words }}\n<!-- wadding -->"),
    ],
)
def test_a_template_says_its_words_where_they_are_read_and_leaves_names_alone(source: str, turned: str) -> None:
    assert spoken(source) == turned
