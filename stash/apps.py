"""The stash app's entry in Django."""

from django.apps import AppConfig


class StashConfig(AppConfig):
    name = "stash"
