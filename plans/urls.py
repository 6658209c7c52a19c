"""The addresses of the plans app."""

from django.urls import URLPattern

app_name = "plans"

urlpatterns: list[URLPattern] = []
