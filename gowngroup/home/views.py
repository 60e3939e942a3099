"""The first page after signing in, and whether the site is well."""

from django.db import DatabaseError, connection
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from gowngroup.people.guards import EVERYONE, VISITOR, page


@page(*EVERYONE, methods=("GET",))
def home(request: HttpRequest) -> HttpResponse:
    return render(request, "home/home.html")


@page(*VISITOR, methods=("GET",))
def healthz(request: HttpRequest) -> HttpResponse:
    try:
        with connection.cursor() as cursor:
            cursor.execute("SELECT 1")
    except DatabaseError:
        return HttpResponse("the database does not answer", status=503, content_type="text/plain")
    return HttpResponse("ok", content_type="text/plain")
