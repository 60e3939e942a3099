"""The site's addresses, room by room."""

from django.urls import URLPattern, URLResolver, include, path

urlpatterns: list[URLPattern | URLResolver] = [
    path("", include("gowngroup.home.urls")),
    path("", include("gowngroup.people.urls")),
    path("catalog/", include("gowngroup.catalog.urls")),
    path("stock/", include("gowngroup.stock.urls")),
    path("wards/", include("gowngroup.wards.urls")),
    path("batches/", include("gowngroup.batches.urls")),
    path("gowns/", include("gowngroup.gowns.urls")),
    path("deliveries/", include("gowngroup.deliveries.urls")),
    path("calendar/", include("gowngroup.exchange.urls")),
    path("print/", include("gowngroup.printing.urls")),
]
