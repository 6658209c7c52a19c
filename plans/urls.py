"""The addresses of the plans app, screen by screen in the order of the job."""

from django.urls import path

from plans.views import (
    buying,
    cloth,
    cutting,
    finishing,
    home,
    hours,
    left,
    nested,
    plans,
    sewing,
    shopping,
    target,
    top,
)

app_name = "plans"

urlpatterns = [
    path("", home.on_the_go, name="on_the_go"),
    # All plans, and one
    path("plans/", plans.plans, name="plans"),
    path("plans/new/", plans.new, name="new"),
    path("plans/new/live/", plans.new_live, name="new_live"),
    path("plans/<int:plan_id>/", plans.plan, name="plan"),
    path("plans/<int:plan_id>/name/", plans.name, name="name"),
    path("plans/<int:plan_id>/state/<slug:to>/", plans.move, name="move"),
    path("plans/<int:plan_id>/finished/", plans.finished, name="finished"),
    # Top
    path("plans/<int:plan_id>/top/", top.top, name="top"),
    path("plans/<int:plan_id>/top/live/", top.live, name="top_live"),
    path("plans/<int:plan_id>/top/<int:round_id>/nested/", nested.nested, name="nested"),
    path("plans/<int:plan_id>/top/<int:round_id>/out/", top.take_out, name="take_out"),
    path("plans/<int:plan_id>/top/<int:round_id>/back/", top.put_back, name="put_back"),
    path("plans/<int:plan_id>/top/<int:round_id>/move/<slug:way>/", top.move_round, name="move_round"),
    path("plans/<int:plan_id>/target/", target.target, name="target"),
    path("plans/<int:plan_id>/target/take/", target.take, name="target_take"),
    path("plans/<int:plan_id>/target/back/", target.take_back, name="target_back"),
    # What is left
    path("plans/<int:plan_id>/left/", left.left, name="left"),
    # Cloth
    path("plans/<int:plan_id>/cloth/", cloth.cloth, name="cloth"),
    path("plans/<int:plan_id>/cloth/lay-out/", cloth.lay_out, name="lay_out"),
    path("plans/<int:plan_id>/cloth/search/", cloth.search, name="search"),
    path("plans/<int:plan_id>/cloth/search/stop/", cloth.search_stop, name="search_stop"),
    path("plans/<int:plan_id>/cloth/search/now/", cloth.search_now, name="search_now"),
    path("plans/<int:plan_id>/cloth/hold-all/", cloth.confirm_all, name="confirm_all"),
    path("plans/<int:plan_id>/cloth/<slug:role>/allot/", cloth.allot, name="allot"),
    path("plans/<int:plan_id>/cloth/<slug:role>/print/", cloth.lie, name="print_lies"),
    path(
        "plans/<int:plan_id>/cloth/<slug:role>/again/<int:fabric_id>/<int:count>/",
        cloth.put_on_again,
        name="put_on_again",
    ),
    path("plans/<int:plan_id>/allotments/<int:allotment_id>/count/", cloth.change_count, name="change_count"),
    path("plans/<int:plan_id>/allotments/<int:allotment_id>/earlier/", cloth.ask_earlier, name="ask_earlier"),
    path("plans/<int:plan_id>/allotments/<int:allotment_id>/off/", cloth.take_off, name="take_off"),
    # What to buy
    path("plans/<int:plan_id>/buying/", buying.buying, name="buying"),
    path("plans/<int:plan_id>/buying/<slug:key>/", buying.found, name="buying_found"),
    path("plans/<int:plan_id>/buying/<slug:key>/put/", buying.put, name="buying_put"),
    # Cutting
    path("plans/<int:plan_id>/cutting/", cutting.cutting, name="cutting"),
    path("plans/<int:plan_id>/sheets/<int:sheet_id>/", cutting.one_sheet, name="sheet"),
    path("plans/<int:plan_id>/sheets/<int:sheet_id>/confirm/", cloth.confirm, name="confirm"),
    path("plans/<int:plan_id>/sheets/<int:sheet_id>/would-do/", cloth.find_other, name="would_do"),
    path("plans/<int:plan_id>/sheets/<int:sheet_id>/to-buy/", cloth.to_buy, name="to_buy"),
    path("plans/<int:plan_id>/sheets/<int:sheet_id>/release/", cutting.release, name="release"),
    path("plans/<int:plan_id>/sheets/<int:sheet_id>/cloths/<int:cloth_id>/", cutting.table, name="table"),
    path(
        "plans/<int:plan_id>/sheets/<int:sheet_id>/cloths/<int:cloth_id>/cuts/<int:number>/", cutting.tick, name="tick"
    ),
    path("plans/<int:plan_id>/sheets/<int:sheet_id>/cloths/<int:cloth_id>/cut/", cutting.cut, name="cut"),
    path("plans/<int:plan_id>/sheets/<int:sheet_id>/cloths/<int:cloth_id>/not-cut/", cutting.undo_cut, name="undo_cut"),
    path("plans/<int:plan_id>/sheets/<int:sheet_id>/lines/<int:line_id>/miscut/", cutting.spoil, name="spoil"),
    path("plans/<int:plan_id>/miscuts/<int:miscut_id>/take-back/", cutting.take_back, name="take_back"),
    # Shopping
    path("shopping/", shopping.shopping, name="shopping"),
    path("shopping/<int:line_id>/<slug:act>/", shopping.shopping_line, name="shopping_line"),
    # Sewing
    path("plans/<int:plan_id>/sewing/", sewing.sewing_page, name="sewing"),
    path("plans/<int:plan_id>/sewing/tap/", sewing.tap, name="sitting_tap"),
    path("plans/<int:plan_id>/stages/add/", sewing.add_stage, name="stage_add"),
    path("plans/<int:plan_id>/stages/<slug:key>/", sewing.change_stage, name="stage_change"),
    path("plans/<int:plan_id>/stages/<slug:key>/<slug:act>/", sewing.mark_stage, name="stage_mark"),
    # Hours
    path("plans/<int:plan_id>/hours/", hours.hours, name="hours"),
    path("plans/<int:plan_id>/hours/<int:sitting_id>/", hours.correct, name="sitting"),
    path("plans/<int:plan_id>/hours/<int:sitting_id>/remove/", hours.remove, name="sitting_remove"),
    path("plans/<int:plan_id>/hours/<int:sitting_id>/restore/", hours.restore, name="sitting_restore"),
    path("plans/<int:plan_id>/hours/<int:sitting_id>/as-it-was/", hours.as_it_was, name="sitting_as_it_was"),
    # Finishing
    path("plans/<int:plan_id>/finishing/", finishing.finishing, name="finishing"),
    path("plans/<int:plan_id>/finishing/live/", finishing.live, name="finishing_live"),
    path("plans/<int:plan_id>/finishing/put/", finishing.put, name="finishing_put"),
]
