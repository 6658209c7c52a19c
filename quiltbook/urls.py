"""Which app answers which address? The only module besides the settings that names the apps."""

from django.urls import include, path

from quiltbook.web.media import photo

urlpatterns = [
    path("you/", include("quiltbook.people.urls")),
    path("stash/", include("stash.urls")),
    path("media/<int:owner>/<path:name>", photo, name="media"),
    path("", include("plans.urls")),
]
