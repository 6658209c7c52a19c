"""The people app's entry in Django."""

from django.apps import AppConfig


class PeopleConfig(AppConfig):
    name = "quiltbook.people"
