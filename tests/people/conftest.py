"""Accounts are tested by themselves, without the pages of the apps above them."""

import pytest
from pytest_django import Settings as Site


@pytest.fixture(autouse=True)
def _home_is_the_settings_page(settings: Site) -> None:
    settings.LOGIN_REDIRECT_URL = "people:settings"
