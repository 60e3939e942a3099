"""What is kept of a person: fetched whole, and forgotten without a trace (promise P1)."""

import csv
import io
import json
import re
import zipfile
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.apps import apps
from django.contrib.sessions.models import Session
from django.core.mail import EmailMessage
from django.core.mail.backends.filebased import EmailBackend
from django.core.management import CommandError, call_command
from django.db import DatabaseError, models, transaction
from django.db.models import F
from django.test import Client
from django.urls import reverse
from pytest_django.fixtures import Settings

from gowngroup.batches.models import Claim, Finish, KitReturn, RowDone
from gowngroup.deliveries.models import DropOff
from gowngroup.home.audit import violations
from gowngroup.people.actions import erase_person, make_sign_in_letter
from gowngroup.people.models import Group, JoinRequest, Person, SignInCode, SignInLink
from gowngroup.people.outbox import letters
from gowngroup.people.traces import Blotter, Words
from gowngroup.records.actions import record
from gowngroup.records.models import TrailLine
from gowngroup.stock.models import LedgerLine
from gowngroup.wards.models import Ward
from tests.factories import DonorFactory, KitFactory, LotFactory, MaterialFactory, PersonFactory, WardFactory

pytestmark = pytest.mark.django_db
SignIn = Callable[[Person], Client]
NAME, ADDRESS, NUMBER = "Åsa Quillfeather", "asa.q+gowns@example.org", "01632 960777"
# However people write it down: the same letters and digits.
SPELLINGS = (
    "Åsa Quillfeather",
    "åsa  quillfeather",
    "ASA.Q+gowns@example.org",
    "01632-960 777",
    "01632960777",
)


@pytest.fixture
def asa(group: Group) -> Person:
    """Somebody who has been with the group for years and stands in every room."""
    person: Person = PersonFactory(
        name=NAME,
        email=ADDRESS,
        telephone=NUMBER,
        roles=["volunteer", "driver"],
        note="Collects on Tuesdays",
        hours_offered_min=600,
        has_agreed_to_memorial=True,
        joined_on="2021-05-17",
    )
    return person


@pytest.fixture
def everywhere(asa: Person, coordinator: Person, at: datetime) -> Person:
    """Her name, address and number in texts of every room, in lines nobody can change too."""
    said = f"Rang {SPELLINGS[1]}, {SPELLINGS[2]}, on {SPELLINGS[3]} and {SPELLINGS[4]}."
    kit = KitFactory(state="returned")
    Claim.objects.create(
        kit=kit,
        person=asa,
        claimed_by=coordinator,
        claimed_at=at,
        due_on=at.date(),
        end="returned",
        ended_at=at,
    )
    KitReturn.objects.create(kit=kit, person=asa, returned_at=at, remarks=said, gown_count=1)
    ward = WardFactory(contact_name=NAME, contact_email=ADDRESS, contact_telephone=NUMBER, rules=said)
    DropOff.objects.create(
        ward=ward,
        driver=asa,
        planned_on=at.date(),
        state="received",
        receipt_number="R2026-0001",
        signed_name=NAME,
        differences=[{"said": said, NAME: 1}],
        note=said,
    )
    lot = LotFactory(donor=DonorFactory(name=NAME, email=ADDRESS), place=f"at {NAME}’s")
    LedgerLine.objects.create(lot=lot, kind="receive", on_hand_change=0, reason=said[:200], at=at, by=asa)
    Group.objects.update(telephone="01632960777", pick_up_place=said)
    JoinRequest.objects.create(name=NAME, email=ADDRESS, contact_hash="x", asked_at=at, note=said)
    SignInCode.objects.create(address_hash="y", slot=0, email=ADDRESS, sent_at=at, expires_at=at)
    make_sign_in_letter(person=asa, by=coordinator, at=at)
    record(by=asa, at=at, did="wrote", subject=kit, changes={"words": [said, NAME]})
    return asa


def dump() -> str:
    """Every cell of every table, JSON as it is read, like a dump of the database."""
    rows: list[object] = []
    for model in apps.get_models():
        rows += model._base_manager.values_list()
    return json.dumps(rows, default=str, ensure_ascii=False).lower()


# What is left of her number, standing alone: moments, hashes and numbers of letters may hold the same digits by chance.
END_OF_NUMBER = re.compile(r"(?<![0-9a-f])960\W{0,3}777(?![0-9a-f])")


def hits(text: str) -> list[str]:
    """What of her is to be read in a text."""
    said = text.lower()
    bare, digits = "".join(said.split()), "".join(filter(str.isdecimal, said))
    found = [word for word in ("quillfeather", "asa.q+gowns", "åsa") if word in said or word in bare]
    is_numbered = "1632960777" in digits or END_OF_NUMBER.search(said)
    return [*found, "960777"] if is_numbered else found


def test_nothing_is_left_in_the_database(everywhere: Person, coordinator: Person, at: datetime) -> None:
    """After she is forgotten no cell of any table holds her name, address or number, however it was written."""
    assert set(hits(dump())) >= {"quillfeather", "asa.q+gowns", "960777", "åsa"}
    erase_person(person=everywhere, by=coordinator, at=at)
    assert hits(dump()) == []


def test_what_was_made_stays_counted(everywhere: Person, coordinator: Person, at: datetime) -> None:
    """Claims, kits that came back and drop-offs stay, with somebody who has no name, and the books add up."""
    erase_person(person=everywhere, by=coordinator, at=at)
    everywhere.refresh_from_db()
    assert (everywhere.name, everywhere.is_active, everywhere.joined_on.isoformat()) == (
        "somebody who has left",
        False,
        "2021-01-01",
    )
    assert (everywhere.claims.count(), DropOff.objects.filter(driver=everywhere).count()) == (1, 1)
    assert (everywhere.hours_offered_min, everywhere.has_agreed_to_memorial, everywhere.note) == (
        0,
        False,
        "",
    )
    assert not [each for each in violations() if f"person {everywhere.pk} " in each.sentence]


def test_what_is_hers_alone_is_removed(everywhere: Person, coordinator: Person, at: datetime) -> None:
    """Tasks and sign-in letters, every row that would go with her, go; the trail says that she was forgotten."""
    erase_person(person=everywhere, by=coordinator, at=at)
    assert not everywhere.role_rows.exists()
    assert not SignInLink.objects.filter(person=everywhere).exists()
    line = TrailLine.objects.get(did="erase_person")
    assert (line.by, line.subject_id) == (coordinator, everywhere.pk)


def test_lines_nobody_can_change_are_guarded_again(
    everywhere: Person, coordinator: Person, at: datetime
) -> None:
    """The ledger's numbers stay as they were, and after the forgetting it refuses changes as before."""
    before = list(LedgerLine.objects.values("pk", "on_hand_change", "reserved_change", "at"))
    erase_person(person=everywhere, by=coordinator, at=at)
    assert list(LedgerLine.objects.values("pk", "on_hand_change", "reserved_change", "at")) == before
    for row in (LedgerLine, TrailLine):
        with pytest.raises(DatabaseError, match="never changed"), transaction.atomic():
            row.objects.update(at=F("at"))


def test_others_keep_what_they_share(asa: Person, coordinator: Person, at: datetime) -> None:
    """Whoever has the same name, address or number keeps it; only she goes."""
    other = PersonFactory(name=NAME, email=ADDRESS, telephone=NUMBER, roles=["volunteer"])
    SignInCode.objects.create(address_hash="y", slot=0, email=ADDRESS, sent_at=at, expires_at=at)
    erase_person(person=asa, by=coordinator, at=at)
    other.refresh_from_db()
    assert (other.name, other.email, other.telephone) == (NAME, ADDRESS, NUMBER)
    assert SignInCode.objects.get().email == ADDRESS


def test_every_key_to_a_person_says_what_becomes_of_its_row() -> None:
    """A table that points at a person removes, lets go or keeps its row; anything else forgetting does not know."""
    known = {models.CASCADE, models.SET_NULL, models.PROTECT}
    keys = [r for r in Person._meta.get_fields(include_hidden=True) if isinstance(r, models.ManyToOneRel)]
    assert [f"{r.related_model.__name__}.{r.field.name}" for r in keys if r.on_delete not in known] == []


def test_letters_beyond_ascii_hide_nothing_in_json(coordinator: Person, at: datetime) -> None:
    """SQLite keeps such letters in JSON as escapes; a name of nothing else is found all the same."""
    zoe = PersonFactory(name="Þórdís Ægisdóttir", email="", telephone="", roles=["volunteer"])
    said = {"said": ["Þórdís Ægisdóttir rang"]}
    line = record(by=coordinator, at=at, did="wrote", subject=coordinator, changes=said)
    erase_person(person=zoe, by=coordinator, at=at)
    line.refresh_from_db()
    assert line.changes == {"said": ["somebody who has left rang"]}


@pytest.mark.parametrize(
    ("words", "before", "after"),
    [
        (Words(name="Ada Pleat"), "Ada\nPleat and Adam Pleat", "somebody who has left and Adam Pleat"),
        (Words(name="Rose"), "a rose, Rose’s and Roses", "a rose, somebody who has left’s and Roses"),
        (Words(telephone="01632 960200"), "+01632/960.200, 101632960200", "–, 101632960200"),
        (Words(telephone="112"), "112", ""),
        (Words(email="a@example.org"), "xa@example.org <A@Example.org>", "xa@example.org <–>"),
        (Words(), "nobody", "nobody"),
    ],
)
def test_only_the_words_themselves_are_blotted_out(words: Words, before: str, after: str) -> None:
    """Longer words and numbers that merely hold hers are left alone."""
    assert Blotter(words).blot(before, is_sentence=True) == after


def test_things_named_after_her_stay_apart(coordinator: Person, at: datetime) -> None:
    """Two cloths that without her name would be called the same keep names of their own."""
    ada = PersonFactory(name="Ada Pleat", email="", telephone="", roles=["volunteer"])
    cloths = [MaterialFactory(name=f"cloth of {who}") for who in ("Ada Pleat", "ADA PLEAT")]
    erase_person(person=ada, by=coordinator, at=at)
    names = [type(cloth).objects.get(pk=cloth.pk).name for cloth in cloths]
    assert names == ["cloth of somebody who has left", f"{cloths[1].pk} cloth of somebody who has left"]


def test_a_first_name_alone_spoils_no_name_of_a_thing(coordinator: Person, at: datetime) -> None:
    """Of somebody known by one word alone, names of cloth and shades that hold it stay as they are."""
    rose = PersonFactory(name="Rose", email="", telephone="", roles=["volunteer"])
    lot = LotFactory(material__shade="Rose and cream", place="Rose")
    erase_person(person=rose, by=coordinator, at=at)
    lot.refresh_from_db()
    assert (lot.material.shade, lot.place) == ("Rose and cream", "somebody who has left")


def test_letters_in_the_outbox_go(
    asa: Person,
    coordinator: Person,
    at: datetime,
    settings: Settings,
    tmp_path: Path,
    django_capture_on_commit_callbacks: Callable[..., Any],
) -> None:
    """Letters to her or that name her are taken out of the file outbox; letters of others stay."""
    settings.EMAIL_FILE_PATH = tmp_path
    for to, text in (
        (ADDRESS, "hello"),
        ("b@example.org", f"{NAME} asks for help"),
        ("b@example.org", "stay"),
    ):
        backend = EmailBackend(file_path=str(tmp_path))
        backend.send_messages([EmailMessage("Subject", text, to=[to])])
        backend.close()
    together = EmailBackend(file_path=str(tmp_path))
    together.open()
    together.send_messages(
        [EmailMessage("Two", "keep", to=["c@example.org"]), EmailMessage("S", "x", to=[ADDRESS])]
    )
    together.close()
    with django_capture_on_commit_callbacks(execute=True):
        erase_person(person=asa, by=coordinator, at=at)
    left = letters(tmp_path, at_most=9)
    assert sorted(letter.to for letter in left) == ["b@example.org", "c@example.org"]
    assert hits("".join(path.read_text() for path in tmp_path.iterdir())) == []


def test_logs_do_not_speak_of_her(
    sign_in: SignIn, asa: Person, coordinator: Person, caplog: pytest.LogCaptureFixture
) -> None:
    """Being added, changed, looked at and forgotten leaves nothing of her in the logs."""
    caplog.set_level("DEBUG")
    office = sign_in(coordinator)
    for name in ("person_page", "person_change", "person_data", "person_forget"):
        office.get(reverse(f"people:{name}", args=[asa.pk]))
    office.post(reverse("people:person_forget", args=[asa.pk]), {"word": "forget"})
    said = [r.getMessage() for r in caplog.records if not r.name.startswith("django.db")]
    assert hits("\n".join(said)) == []


def test_she_forgets_herself_by_a_word(sign_in: SignIn, asa: Person, coordinator: Person) -> None:
    """On her own page she types one word; any other changes nothing, and afterwards nobody is signed in."""
    browser, page = sign_in(asa), reverse("people:my_forget")
    refused = browser.post(page, {"word": "yes"})
    assert (refused.status_code, Person.objects.get(pk=asa.pk).name) == (422, NAME)
    assert 'value="yes"' in refused.content.decode()
    answer = browser.post(page, {"word": "“Forget”", "request_key": "k"}, follow=True)
    assert "You have been forgotten" in answer.content.decode()
    assert Person.objects.get(pk=asa.pk).erased_at
    assert str(asa.pk) not in [row.get_decoded().get("_auth_user_id") for row in Session.objects.all()]
    assert browser.get(reverse("people:my_page")).status_code == 302
    left = sign_in(coordinator).get(reverse("people:person_page", args=[asa.pk])).content.decode()
    assert ("Somebody who has left</h1>" in left, "Forgotten on " in left) == (True, True)
    assert "take kits for her" not in left
    told = sign_in(coordinator).get(reverse("people:left_list")).content.decode()
    assert "Somebody asked to be forgotten." in told
    assert NAME not in told


def test_whoever_still_holds_something_is_not_forgotten(
    sign_in: SignIn, asa: Person, coordinator: Person, at: datetime
) -> None:
    """Kits at home, a drop-off to drive and being the last coordinator come first, each with its sentence."""
    kit = KitFactory(state="claimed", holder=asa)
    own = sign_in(asa).post(reverse("people:my_forget"), {"word": "forget"})
    assert (own.status_code, "You still have 1 kit." in own.content.decode()) == (409, True)
    kit.delete()
    drive = DropOff.objects.create(ward=WardFactory(), driver=asa, planned_on=at.date())
    office = sign_in(coordinator)
    answer = office.post(reverse("people:person_forget", args=[asa.pk]), {"word": "forget"})
    assert (answer.status_code, "another driver" in answer.content.decode()) == (409, True)
    drive.delete()
    answer = office.post(reverse("people:person_forget", args=[coordinator.pk]), {"word": "forget"})
    assert (answer.status_code, "only coordinator" in answer.content.decode()) == (422, True)


def test_she_is_forgotten_once(asa: Person, coordinator: Person, sign_in: SignIn, at: datetime) -> None:
    """Somebody who has been forgotten has a page without her, and cannot be forgotten again."""
    erase_person(person=asa, by=coordinator, at=at)
    office = sign_in(coordinator)
    page = office.get(reverse("people:person_page", args=[asa.pk])).content.decode()
    assert "Forget her" not in page
    again = office.post(reverse("people:person_forget", args=[asa.pk]), {"word": "forget"})
    assert again.status_code == 409


def test_commands_export_and_erase(asa: Person, coordinator: Person, tmp_path: Path) -> None:
    """The operator fetches and forgets by number; an unknown number and an existing file are refused."""
    out, file = StringIO(), tmp_path / "asa.zip"
    call_command("export_person", str(asa.pk), str(file), stdout=out)
    assert NAME in zipfile.ZipFile(file).read("read-me.html").decode()
    assert file.stat().st_mode & 0o077 == 0
    for place, why in ((file, "there already"), (tmp_path / "none" / "asa.zip", "cannot be written")):
        with pytest.raises(CommandError, match=why):
            call_command("export_person", str(asa.pk), str(place))
    call_command("erase_person", str(asa.pk), stdout=out)
    assert Person.objects.get(pk=asa.pk).erased_at
    for command, arguments in (("export_person", ["0", str(tmp_path / "x")]), ("erase_person", ["0"])):
        with pytest.raises(CommandError, match="no person"):
            call_command(command, *arguments)
    with pytest.raises(CommandError, match="only coordinator"):
        call_command("erase_person", str(coordinator.pk))


def test_a_donor_is_forgotten_alike(group: Group) -> None:
    """A donor is taken out of every text, her ward's too, and what she gave stays counted."""
    donor, ward = (
        DonorFactory(name="Berta Holm", email="berta@example.org"),
        WardFactory(contact_name="Berta Holm"),
    )
    LotFactory(donor=donor, place="from Berta Holm")
    call_command("erase_donor", str(donor.pk), stdout=StringIO())
    donor.refresh_from_db()
    ward.refresh_from_db()
    assert (donor.name, donor.email, donor.lots.count()) == ("somebody who has left", "", 1)
    assert donor.erased_at
    assert ward.contact_name == "somebody who has left"
    assert "berta" not in dump()
    with pytest.raises(CommandError, match="has been forgotten"):
        call_command("erase_donor", str(donor.pk))


def test_a_wards_contact_is_forgotten_alike(everywhere: Person) -> None:
    """Whom to ask for on a ward is taken out of every text, but for the person of the group she also is."""
    ward = Ward.objects.get(contact_name=NAME)
    call_command("erase_ward_contact", str(ward.pk), stdout=StringIO())
    everywhere.refresh_from_db()
    ward.refresh_from_db()
    assert (ward.contact_name, ward.contact_email, ward.contact_telephone) == (
        "somebody who has left",
        "",
        "",
    )
    assert (everywhere.name, everywhere.email) == (NAME, ADDRESS)
    assert not DropOff.objects.filter(signed_name=NAME).exists()
    Ward.objects.filter(pk=ward.pk).update(contact_name="", contact_email="", contact_telephone="")
    for number, words in ((ward.pk, "Nobody is written down"), (0, "no ward")):
        with pytest.raises(CommandError, match=words):
            call_command("erase_ward_contact", str(number))


@pytest.fixture
def fetched(everywhere: Person, sign_in: SignIn) -> zipfile.ZipFile:
    """What she fetches from her own page, also what she said of a kit and which rows of it she sewed."""
    claim, moment = Claim.objects.filter(person=everywhere).earliest("pk"), datetime(2026, 3, 10, tzinfo=UTC)
    Finish.objects.create(
        claim=claim,
        gown_count=1,
        are_needles_counted=True,
        remarks="The lace came out short.",
        said_at=moment,
    )
    RowDone.objects.create(claim=claim, row_number=3, done_at=moment)
    answer = sign_in(everywhere).get(reverse("people:my_data"))
    assert (answer["Content-Type"], answer["Cache-Control"]) == ("application/zip", "private, no-store")
    return zipfile.ZipFile(io.BytesIO(answer.content))


def test_everything_kept_is_in_the_file(fetched: zipfile.ZipFile) -> None:
    """Her details, claims, returns, drives and what the trail says of her stand in JSON, tables and page alike."""
    data = json.loads(fetched.read("data.json"))
    titles = {part["what"] for part in data["kept"]}
    assert (data["name"], sorted(data["roles"])) == (NAME, ["driver", "volunteer"])
    assert {"About you", "Claims", "Kit returns", "Drop offs (driver)", "What you did here"} <= titles
    assert {"Finish", "Rows done"} <= titles
    page = fetched.read("read-me.html").decode()
    assert all(title in page for title in titles)
    assert all(
        words in page
        for words in (
            "17 May 2021",
            "any, also those for the experienced",
            "<td>yes</td>",
            "The lace came out short.",
        )
    )
    assert len([name for name in fetched.namelist() if name.endswith(".csv")]) == len(titles)


def test_the_file_holds_no_secret_and_no_other_person(fetched: zipfile.ZipFile) -> None:
    """Neither hashes of sign-in letters nor the coordinator's name are handed out with it."""
    everything = "".join(fetched.read(name).decode() for name in fetched.namelist())
    assert str(SignInLink.objects.get().token_hash) not in everything
    assert "Coordinator" not in everything


def test_tables_hold_no_formula(asa: Person, sign_in: SignIn) -> None:
    """What a spreadsheet would take for a formula is made plain text."""
    Person.objects.filter(pk=asa.pk).update(telephone="+44 1632 960777", note="=1+1")
    answer = sign_in(asa).get(reverse("people:my_data"))
    archive = zipfile.ZipFile(io.BytesIO(answer.content))
    rows = list(csv.reader(io.StringIO(archive.read("tables/01-about-you.csv").decode("utf-8-sig"))))
    assert {"'+44 1632 960777", "'=1+1"} <= {row[1] for row in rows}


def test_she_leaves_by_herself_and_may_come_back(sign_in: SignIn, asa: Person) -> None:
    """Leaving signs her out and keeps her row; with a kit at home it is refused in words to her."""
    kit = KitFactory(state="claimed", holder=asa, due_on=(datetime.now(UTC) + timedelta(days=3)).date())
    browser, page = sign_in(asa), reverse("people:my_leave")
    assert "You still have 1 kit" in browser.post(page).content.decode()
    kit.delete()
    choices = browser.get(page).content.decode()
    assert (
        "Leave the group" in choices,
        f'<a href="{reverse("batches:my_kits")}">My kits</a>.' in choices,
    ) == (
        True,
        True,
    )
    assert "Thank you for everything" in browser.post(page, follow=True).content.decode()
    asa.refresh_from_db()
    assert (asa.is_active, asa.name) == (False, NAME)
