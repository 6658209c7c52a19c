"""The addresses of accounts and settings."""

from django.contrib.auth.views import LogoutView
from django.urls import path

from quiltbook.people import views

app_name = "people"

urlpatterns = [
    path("", views.settings_page, name="settings"),
    path("sign-in/", views.SignIn.as_view(), name="sign_in"),
    path("sign-up/", views.sign_up_page, name="sign_up"),
    path("sign-out/", LogoutView.as_view(), name="sign_out"),
    path("password/", views.Password.as_view(), name="password"),
]
