"""The addresses of the stash app."""

from django.urls import path

from stash.views import colours, fabric, labels, log, piece, shelf, stocktake, worth

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
    path("counting/", stocktake.counting, name="counting"),
    path("counting/<int:stocktake_id>/", stocktake.count, name="count"),
    path("counting/<int:stocktake_id>/<slug:how>/", stocktake.end, name="count_end"),
    path("counting/<int:stocktake_id>/pieces/<int:piece_id>/", stocktake.found, name="count_found"),
    path("counting/<int:stocktake_id>/pieces/<int:piece_id>/size/", stocktake.other_size, name="count_size"),
    path("labels/", labels.labels, name="labels"),
    path("labels/sheet/", labels.sheet, name="label_sheet"),
    path("p/<str:code>/", labels.by_code, name="by_code"),
    path("movements/<int:movement_id>/undo/", fabric.undo, name="undo"),
]
