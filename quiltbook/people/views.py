"""The pages of an account: sign up, sign in, the usual figures, the password."""

from typing import Any

from django.conf import settings as site
from django.contrib.auth import forms as auth_forms
from django.contrib.auth import login
from django.contrib.auth import views as auth_views
from django.contrib.auth.decorators import login_not_required
from django.forms.models import model_to_dict
from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import resolve_url
from django.urls import reverse, reverse_lazy
from django.utils.decorators import method_decorator
from django.utils.http import urlencode
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods
from django_htmx.http import HttpResponseClientRedirect

from quiltbook.measures import System
from quiltbook.people.forms import PasswordForm, SettingsForm, SignInForm, SignUpForm
from quiltbook.people.requests import PersonRequest
from quiltbook.people.services import SignUpRefused, change_settings, sign_up
from quiltbook.people.usual import USUAL
from quiltbook.web.fragments import go, page, wants_fragment
from quiltbook.web.notices import say


@method_decorator(login_not_required, name="dispatch")
class SignIn(auth_views.LoginView):
    """A name and a password, and on to the page that was wanted."""

    template_name = "people/sign_in.html"
    authentication_form = SignInForm
    redirect_authenticated_user = True

    def dispatch(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        """Where a session ran out in the middle of a page, leave that page: sign-in is no part of it."""
        if wants_fragment(request):
            back = request.htmx.current_url_abs_path or "/"  # type: ignore[attr-defined]
            return HttpResponseClientRedirect(f"{reverse('people:sign_in')}?{urlencode({'next': back})}")
        return super().dispatch(request, *args, **kwargs)

    def get_context_data(self, **kwargs: Any) -> dict[str, Any]:
        return super().get_context_data(sign_up_open=site.SIGN_UP_OPEN, **kwargs)


@login_not_required
@never_cache
@sensitive_post_parameters("password", "again")
@require_http_methods(["GET", "POST"])
def sign_up_page(request: HttpRequest) -> HttpResponse:
    """A new account, signed in at once."""
    if request.user.is_authenticated:
        return go(request, resolve_url(site.LOGIN_REDIRECT_URL))
    if not site.SIGN_UP_OPEN:
        return page(request, "people/sign_up_closed.html")
    form = SignUpForm(request.POST or None, initial={"system": System.INCHES, "time_zone": site.TIME_ZONE})
    if form.is_valid():
        try:
            person = sign_up(
                username=form.cleaned_data["username"],
                password=form.cleaned_data["password"],
                system=System(form.cleaned_data["system"]),
                time_zone=form.cleaned_data["time_zone"],
            )
        except SignUpRefused as why:
            form.add_error("username", str(why))
        else:
            login(request, person)
            say(request, f"Welcome, {person.username}. Your usual figures are set; change them whenever you like.")
            return go(request, resolve_url(site.LOGIN_REDIRECT_URL))
    return page(request, "people/sign_up.html", {"form": form})


@require_http_methods(["GET", "POST"])
def settings_page(request: PersonRequest) -> HttpResponse:
    """Her usual figures. Another system may be tried on first: nothing is kept until she saves."""
    usual = request.user.settings
    system = _system_asked_for(request)
    if request.method == "POST" and "usual" not in request.POST:
        form = SettingsForm(request.POST, system=system)
        if form.is_valid():
            change_settings(owner=request.user, changes=form.cleaned_data)
            say(request, "Saved. New plans and new cloth start from these figures; those you have stay as they are.")
            return go(request, reverse("people:settings"))
        offered = False
    else:
        offered = "usual" in request.POST or (system != usual.measures and "mine" not in request.GET)
        figures = USUAL[system] if offered else {}
        form = SettingsForm(
            initial={**model_to_dict(usual), **request.POST.dict(), **figures, "system": system}, system=system
        )
    context = {"form": form, "system": system, "offered": offered, "changing": system != usual.measures}
    return page(request, "people/settings.html", context, fragment="figures")


def _system_asked_for(request: PersonRequest) -> System:
    asked = request.POST.get("system") or request.GET.get("system")
    return System(asked) if asked in list(System) else request.user.settings.measures


class Password(auth_views.PasswordChangeView):
    """A new password, for somebody who knows the old one."""

    template_name = "people/password.html"
    form_class = PasswordForm
    success_url = reverse_lazy("people:settings")

    def form_valid(self, form: auth_forms.PasswordChangeForm) -> HttpResponse:
        say(self.request, "Your password is changed.")
        return super().form_valid(form)
