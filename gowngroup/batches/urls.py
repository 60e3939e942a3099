"""Addresses of the batches pages."""

from django.urls import URLPattern, path

from gowngroup.batches.views import batches, calls, claims, floss, kits, my_kits, plans, shopping, table

app_name = "batches"
waiting_urls: list[URLPattern] = [
    path("waiting/", claims.kits_waiting, name="kits_waiting"),
    path("waiting/tell-me/", claims.kit_wish, name="kit_wish"),
    path("waiting/tell-me/stop/", claims.kit_wish_end, name="kit_wish_end"),
    path("waiting/not-these/", claims.memorial_stop, name="memorial_stop"),
    path("letters/stop/<str:secret>/", claims.letters_stop, name="letters_stop"),
    path("my-kits/", my_kits.my_kits, name="my_kits"),
    path("calls/", calls.call_list, name="call_list"),
    path("calls/helpers/", calls.helpers, name="helpers"),
    path("calls/<int:pk>/", calls.call_page, name="call_page"),
]
kit_urls: list[URLPattern] = [
    path("kits/", kits.kit_list, name="kit_list"),
    path("kits/hand-out/", table.kit_hand_out, name="kit_hand_out"),
    path("kits/hand-out/undo/<int:pk>/", table.kit_hand_out_undo, name="kit_hand_out_undo"),
    path("kits/late/", table.kits_overdue, name="kits_overdue"),
    path("kits/lays/", kits.lay_list, name="lay_list"),
    path("kits/lays/<int:pk>/", kits.lay_page, name="lay_page"),
    path("kits/packing/", kits.kits_to_pack, name="kits_to_pack"),
    path("kits/packing/offer/", kits.kits_offer, name="kits_offer"),
    path("kits/packing/put-by/", kits.kits_put_by, name="kits_put_by"),
    path("kits/packing/line/<int:pk>/", kits.kit_line_tick, name="kit_line_tick"),
    path("kits/<slug:code>/", my_kits.kit_page, name="kit_page"),
    path("kits/<slug:code>/claim/", claims.kit_claim, name="kit_claim"),
    path("kits/<slug:code>/give-back/", claims.kit_give_back, name="kit_give_back"),
    path("kits/<slug:code>/finished/", my_kits.kit_finish, name="kit_finish"),
    path("kits/<slug:code>/hand-on/", my_kits.kit_hand_on, name="kit_hand_on"),
    path("kits/<slug:code>/help/", my_kits.kit_help, name="kit_help"),
    path("kits/<slug:code>/part/", my_kits.kit_part, name="kit_part"),
    path("kits/<slug:code>/post/", my_kits.kit_post, name="kit_post"),
    path("kits/<slug:code>/due/", table.kit_due, name="kit_due"),
    path("kits/<slug:code>/way/", table.kit_arrange, name="kit_arrange"),
    path("kits/<slug:code>/end/", kits.kit_end, name="kit_end"),
    path("kits/<slug:code>/contents/", kits.kit_packing, name="kit_packing"),
    path("kits/<slug:code>/pack/", kits.kit_pack, name="kit_pack"),
    path("kits/<slug:code>/offer/", kits.kit_offer, name="kit_offer"),
]
batch_urls: list[URLPattern] = [
    path("", batches.batch_list, name="batch_list"),
    path("start/", batches.batch_start, name="batch_start"),
    path("<int:pk>/", batches.batch_page, name="batch_page"),
    path("<int:pk>/close/", batches.batch_close, name="batch_close"),
    path("<int:pk>/numbers/", batches.batch_lines, name="batch_lines"),
    path("<int:pk>/materials/", batches.batch_choices, name="batch_choices"),
    path("<int:pk>/plan/", plans.plan_make, name="plan_make"),
    path("<int:pk>/plan-rest/", plans.plan_rest, name="plan_rest"),
    path("<int:pk>/planning/", plans.plan_progress, name="plan_progress"),
    path("<int:pk>/planning/stop/", plans.plan_stop, name="plan_stop"),
    path("<int:pk>/planning/go-on/", plans.plan_resume, name="plan_resume"),
    path("<int:pk>/planning/cancel/", plans.plan_cancel, name="plan_cancel"),
    path("plans/<int:pk>/", plans.plan_page, name="plan_page"),
    path("plans/<int:pk>/shopping/", shopping.shopping_list, name="shopping_list"),
    path("plans/<int:pk>/why/<slug:what>/", plans.plan_why, name="plan_why"),
    path("plans/why/<slug:what>/", plans.newest_why, name="newest_why"),
    path("plans/<int:pk>/commit/", plans.plan_commit, name="plan_commit"),
    path("plans/<int:pk>/drop/", plans.plan_drop, name="plan_drop"),
    path("floss/", floss.floss_use_page, name="floss_use"),
    path("floss/use/", floss.floss_use_set, name="floss_use_set"),
]
urlpatterns: list[URLPattern] = [*batch_urls, *waiting_urls, *kit_urls]
