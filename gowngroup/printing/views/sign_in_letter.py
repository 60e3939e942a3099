"""The printed letter that signs somebody in once, without email."""

from dataclasses import replace
from datetime import timedelta

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from gowngroup.people.actions import make_sign_in_letter
from gowngroup.people.actions.links import LETTER_GROUP_LENGTH
from gowngroup.people.guards import page, person_of
from gowngroup.people.models import SignInLink
from gowngroup.people.queries import open_link, person_named, the_group
from gowngroup.printing.qr import qr_code
from gowngroup.printing.sheet_reader import person_reader
from gowngroup.printing.views.answers import pdf_answer
from gowngroup.records.errors import Refusal, Taken
from gowngroup.records.pages import posted_key, refused
from gowngroup.records.reader import current_reader, reading_as

TEMPLATE = "printing/sign_in_letter.html"
QR_MM = 50.0


@page("coordinator", methods=("POST",))
def sign_in_letter(request: HttpRequest, pk: int) -> HttpResponse:
    person, by, key = person_named(pk), person_of(request), posted_key(request)
    try:
        link = make_sign_in_letter(person=person, by=by, at=timezone.now(), request_key=key)
        if not link.secret:
            raise Taken(_("This letter has been made already, and its code is kept nowhere. Make a new one."))
    except Refusal as refusal:
        return refused(request, refusal, back=reverse("people:person_page", args=[pk]))
    with reading_as(person_reader(link.person)):
        response = render(request, TEMPLATE, _context(link, link.secret))
    response["Cache-Control"] = "private, no-store"
    return response


@page("coordinator", methods=("POST",))
def sign_in_letter_pdf(request: HttpRequest, pk: int) -> HttpResponse:
    secret = request.POST.get("secret", "")
    link = open_link(secret, at=timezone.now())
    if link is None or link.person_id != person_named(pk).pk or link.kind != SignInLink.Kind.LETTER:
        raise Http404
    with reading_as(person_reader(link.person)):
        return pdf_answer(
            request,
            TEMPLATE,
            _context(link, secret),
            filename=f"sign-in-letter-{pk}.pdf",
            page=reverse("people:person_page", args=[pk]),
        )


def _context(link: SignInLink, secret: str) -> dict[str, object]:
    site = settings.SITE_ADDRESS.rstrip("/")
    groups = range(0, len(secret), LETTER_GROUP_LENGTH)
    return {
        "person": link.person,
        "secret": secret,
        "groups": [secret[start : start + LETTER_GROUP_LENGTH] for start in groups],
        "last_day": timezone.localdate(link.expires_at) - timedelta(days=1),  # the last whole one
        "qr": qr_code(f"{site}{reverse('people:sign_in_link', args=[secret])}", symbol_mm=QR_MM),
        "typed_at": f"{site}{reverse('people:sign_in_letter')}",
        "group": the_group(),
        # Who needs this letter is seldom young: always in large print.
        "reader": replace(current_reader(), has_large_print=True),
    }
