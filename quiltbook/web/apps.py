"""The web app's entry in Django."""

from django.apps import AppConfig


class WebConfig(AppConfig):
    name = "quiltbook.web"
