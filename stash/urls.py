"""The addresses of the stash app."""

from django.urls import path

from stash.views import colours, fabric, log, piece, shelf, worth

app_name = "stash"

urlpatterns = [
    path("", shelf.shelf, name="shelf"),
    path("worth/", worth.shelf_worth, name="worth"),
    path("colours/", colours.colours, name="colours"),
    path("<int:fabric_id>/colours/", colours.colours_of, name="colours_of"),
    path("photos/<int:photo_id>/colour/", colours.colour_at, name="colour_at"),
    path("log/", log.log, name="log"),
    path("log/names/", log.names, name="names"),
    path("log/understood/", log.understood, name="understood"),
    path("<int:fabric_id>/", fabric.fabric, name="fabric"),
    path("<int:fabric_id>/edit/", fabric.edit, name="edit"),
    path("<int:fabric_id>/photo/<str:name>/", fabric.photo_back, name="photo_back"),
    path("<int:fabric_id>/more/", log.more, name="more"),
    path("<int:fabric_id>/more/understood/", log.understood, name="more_understood"),
    path("pieces/<int:piece_id>/", piece.piece, name="piece"),
    path("pieces/<int:piece_id>/<slug:key>/", piece.act, name="act"),
    path("movements/<int:movement_id>/undo/", fabric.undo, name="undo"),
]
