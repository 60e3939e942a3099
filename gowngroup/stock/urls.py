"""Addresses of the stock pages."""

from django.urls import URLPattern, path

from gowngroup.stock.views import lots, materials, shelf

app_name = "stock"
urlpatterns: list[URLPattern] = [
    path("", shelf.lot_list, name="lot_list"),
    path("lots/<str:code>/", shelf.lot_page, name="lot_page"),
    path("lots/<str:code>/count/", lots.lot_count, name="lot_count"),
    path("lots/<str:code>/measure/", lots.lot_measure, name="lot_measure"),
    path("lots/<str:code>/washed/", lots.lot_washed, name="lot_washed"),
    path("lots/<str:code>/open/", lots.lot_open, name="lot_open"),
    path("lots/<str:code>/take/", lots.lot_take, name="lot_take"),
    path("lots/<str:code>/put-back/", lots.lot_put_back, name="lot_put_back"),
    path("lots/<str:code>/move/", lots.lot_move, name="lot_move"),
    path("lots/<str:code>/flaws/", lots.lot_flaws, name="lot_flaws"),
    path(
        "lots/<str:code>/flaws/<int:from_um>-<int:to_um>/remove/",
        lots.lot_flaw_remove,
        name="lot_flaw_remove",
    ),
    path("materials/", materials.material_list, name="material_list"),
    path("materials/new/", materials.material_add, name="material_add"),
    path("materials/<int:pk>/", materials.material_change, name="material_change"),
    path("materials/<int:pk>/receive/", shelf.lot_receive, name="lot_receive"),
    path("donors/", materials.donor_list, name="donor_list"),
    path("donors/new/", materials.donor_add, name="donor_add"),
    path("donors/<int:pk>/", materials.donor_change, name="donor_change"),
]
