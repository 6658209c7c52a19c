"""The addresses of accounts and settings."""

from django.urls import URLPattern

app_name = "people"

urlpatterns: list[URLPattern] = []
