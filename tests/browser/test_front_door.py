"""Does the first page work in a real browser?"""

from playwright.sync_api import Page, expect

from tests.browser.conftest import AxeCheck


def test_a_stranger_finds_a_sign_in_page_that_everybody_can_use(page: Page, assert_accessible: AxeCheck) -> None:
    page.goto("/")
    expect(page.get_by_role("button", name="Sign in")).to_be_visible()
    assert_accessible(page)


def test_a_policy_breach_on_a_page_is_noticed(page: Page, expected_complaints: list[str]) -> None:
    """The harness itself: an inline style is refused by the policy, and the console says so."""
    expected_complaints.append("Content Security Policy")
    page.goto("/you/sign-in/")
    with page.expect_console_message(lambda message: "Content Security Policy" in message.text):
        page.evaluate("document.body.innerHTML = '<p style=\"color: red\">x</p>'")
