"""Is a whole page wanted, or only the part of it that changed?

The one place that speaks htmx. A view answers with `page` and, after it has written, with `go`;
neither needs to know which kind of request it had.
"""

from collections.abc import Mapping
from typing import Any

from django.contrib.messages import get_messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.template.loader import render_to_string
from django.utils.cache import patch_vary_headers
from django_htmx.http import HttpResponseClientRedirect
from django_htmx.middleware import HtmxDetails


class HtmxRequest(HttpRequest):
    """A request that has been through django-htmx's middleware."""

    htmx: HtmxDetails


def wants_fragment(request: HttpRequest) -> bool:
    """Say whether the page is there already and only a part of it is asked for.

    A boosted link and a restored history entry are fetched by htmx too, but want the whole page.
    """
    htmx: HtmxDetails | None = getattr(request, "htmx", None)
    return bool(htmx) and htmx is not None and not (htmx.boosted or htmx.history_restore_request)


def page(
    request: HttpRequest, template: str, context: Mapping[str, Any] | None = None, *, fragment: str | None = None
) -> HttpResponse:
    """Answer with `template`, or with its partial `fragment` where a fragment is wanted.

    Waiting messages ride along with a fragment, so that a change made in place can say what it did.
    """
    partial = fragment if fragment and wants_fragment(request) else None
    name = f"{template}#{partial}" if partial else template
    response = render(request, name, dict(context or {}))
    if partial and len(get_messages(request)):
        response.write(render_to_string("components/notices.html", {"out_of_band": True}, request))
    patch_vary_headers(response, ["HX-Request", "HX-Boosted", "HX-History-Restore-Request"])
    return response


def go(request: HttpRequest, url: str) -> HttpResponse:
    """Send the reader to another page of ours, after a form was taken."""
    if wants_fragment(request):
        return HttpResponseClientRedirect(url)
    return HttpResponseRedirect(url)
