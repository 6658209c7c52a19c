"""The plans app's entry in Django."""

from django.apps import AppConfig


class PlansConfig(AppConfig):
    name = "plans"
