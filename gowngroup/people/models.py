"""The group, its people and their roles; a person is not a login, and an address may be shared or missing."""

import uuid
from datetime import date
from typing import ClassVar

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models
from django.utils.translation import gettext_lazy as _


class Language(models.TextChoices):
    """The languages we speak, each by its own name, so that whoever looks for hers finds it."""

    ENGLISH = "en", "English"
    SPANISH = "es", "Español"


class LengthUnit(models.TextChoices):
    CENTIMETRE = "cm", _("centimetres")
    INCH = "in", _("inches")


class PaperSize(models.TextChoices):
    A4 = "A4", _("A4")
    LETTER = "Letter", _("US Letter")


class Role(models.TextChoices):
    COORDINATOR = "coordinator", _("coordinator")
    PACKER = "packer", _("packer")
    INSPECTOR = "inspector", _("inspector")
    DRIVER = "driver", _("driver")
    VOLUNTEER = "volunteer", _("volunteer")


class SewingStage(models.TextChoices):
    """What a person likes to sew; the words are those of the kits' stages."""

    WHOLE = "whole", _("whole gowns")
    PLEAT = "pleat", _("pleating")
    SMOCK = "smock", _("smocking")
    MAKE_UP = "make up", _("making up")


class Practice(models.IntegerChoices):
    """How difficult a gown may be for her; the numbers are those of the designs' difficulty."""

    EASY = 1, _("easy ones")
    SOME = 2, _("easy ones, and those for some practice")
    EXPERIENCED = 3, _("any, also those for the experienced")


class ReminderWay(models.TextChoices):
    MAIL = "mail", _("by email")
    TELEPHONE = "telephone", _("by telephone")
    POST = "post", _("by post")
    NONE = "none", _("please do not remind me")


class Group(models.Model):
    """The one group this database belongs to."""

    name = models.CharField(_("name of the group"), max_length=120)
    telephone = models.CharField(_("telephone number of the coordinator"), max_length=40, blank=True)
    pick_up_place = models.CharField(_("where kits are picked up"), max_length=200, blank=True)
    time_zone = models.CharField(_("time zone"), max_length=60, default="UTC")
    language = models.CharField(_("language"), max_length=2, choices=Language, default=Language.ENGLISH)
    length_unit = models.CharField(
        _("lengths in"), max_length=2, choices=LengthUnit, default=LengthUnit.CENTIMETRE
    )
    paper_size = models.CharField(_("paper"), max_length=6, choices=PaperSize, default=PaperSize.A4)
    claim_limit_count = models.PositiveSmallIntegerField(_("kits one person may have at once"), default=2)
    sewing_time_days = models.PositiveSmallIntegerField(_("days to sew a kit"), default=28)
    share_passed_percent = models.PositiveSmallIntegerField(
        _("of a hundred gowns sewn, how many pass the checks"), default=90
    )
    label_line = models.CharField(_("line on the label of a worn gown"), max_length=60, blank=True)
    has_join_form = models.BooleanField(_("strangers may ask on the sign-in page to join"), default=True)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=models.Q(pk=1), name="one_group"),
            models.CheckConstraint(
                condition=models.Q(share_passed_percent__lte=100), name="share_passed_at_most_all"
            ),
        ]

    def __str__(self) -> str:
        return self.name


class LabelPrinting(models.Model):
    """How far the group's printer is out, and a sheet of labels of the group's own where it has one."""

    offset_right_um = models.IntegerField(_("move everything to the right"), default=0)
    offset_down_um = models.IntegerField(_("move everything down"), default=0)
    sheet_name = models.CharField(_("name of our own sheet"), max_length=40, blank=True)
    paper_size = models.CharField(_("paper"), max_length=6, choices=PaperSize, default=PaperSize.A4)
    column_count = models.PositiveSmallIntegerField(_("labels side by side"), default=1)
    row_count = models.PositiveSmallIntegerField(_("labels one below the other"), default=1)
    label_width_um = models.PositiveIntegerField(_("width of a label"), default=0)
    label_height_um = models.PositiveIntegerField(_("height of a label"), default=0)
    pitch_x_um = models.PositiveIntegerField(_("from one left edge to the next"), default=0)
    pitch_y_um = models.PositiveIntegerField(_("from one upper edge to the next"), default=0)
    left_um = models.PositiveIntegerField(_("left margin"), default=0)
    top_um = models.PositiveIntegerField(_("upper margin"), default=0)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=models.Q(pk=1), name="one_label_printing"),
            models.CheckConstraint(
                condition=models.Q(column_count__gt=0, row_count__gt=0), name="a_sheet_has_labels"
            ),
        ]

    def __str__(self) -> str:
        return self.sheet_name or "label printing"


class PersonManager(BaseUserManager["Person"]):
    """People are made by actions; this only fetches them."""


class Person(AbstractBaseUser):
    """Somebody of the group; the email address may be empty and two people may share one."""

    handle = models.UUIDField(unique=True, default=uuid.uuid4, editable=False)
    name = models.CharField(_("name"), max_length=120)
    email = models.EmailField(_("email address"), blank=True)
    telephone = models.CharField(_("telephone"), max_length=40, blank=True)
    is_active = models.BooleanField(_("is with the group"), default=True)
    language = models.CharField(_("language"), max_length=2, choices=Language, blank=True)
    length_unit = models.CharField(_("lengths in"), max_length=2, choices=LengthUnit, blank=True)
    paper_size = models.CharField(_("paper"), max_length=6, choices=PaperSize, blank=True)
    has_large_print = models.BooleanField(_("wants large print"), default=False)
    is_left_handed = models.BooleanField(_("sews with her left hand: charts are mirrored"), default=False)
    has_agreed_to_memorial = models.BooleanField(
        _("also sews gowns for babies who die, before or soon after birth"), default=False
    )
    hours_offered_min = models.PositiveIntegerField(_("minutes offered each month"), default=0)
    stages_liked = models.JSONField(_("likes to sew"), default=list, blank=True)
    practice = models.PositiveSmallIntegerField(
        _("gowns she likes to sew"), choices=Practice, default=Practice.EXPERIENCED
    )
    has_pleater = models.BooleanField(_("has a pleater"), default=False)
    reminded_by = models.CharField(
        _("reminders"), max_length=9, choices=ReminderWay, default=ReminderWay.MAIL
    )
    away_until = models.DateField(_("away until"), null=True, blank=True)
    note = models.CharField(_("note"), max_length=300, blank=True)
    joined_on = models.DateField(_("joined on"))
    unseen_leave_at = models.DateTimeField(
        _("left on, until the coordinator has seen it"), null=True, editable=False
    )
    erased_at = models.DateTimeField(null=True, editable=False)

    USERNAME_FIELD = "handle"
    REQUIRED_FIELDS: ClassVar[list[str]] = []
    objects = PersonManager()

    class Meta:
        ordering = ["name", "pk"]
        verbose_name_plural = "people"
        indexes = [models.Index(fields=["email"], name="person_by_email")]

    def __str__(self) -> str:
        return self.name

    def get_full_name(self) -> str:
        return self.name

    def is_away(self, on: date) -> bool:
        """Does she pause on this day? On the last day she named she still does."""
        return self.away_until is not None and on <= self.away_until


class PersonRole(models.Model):
    """One role of one person; a person may have several."""

    person = models.ForeignKey(Person, models.CASCADE, related_name="role_rows")
    role = models.CharField(max_length=12, choices=Role)

    class Meta:
        ordering = ["role"]
        constraints = [models.UniqueConstraint(fields=["person", "role"], name="role_once")]

    def __str__(self) -> str:
        return f"{self.person}: {self.role}"


class SignInCode(models.Model):
    """A code sent to an address: hashed, for one browser, ten minutes, five guesses, one use.

    An address has three of these rows and each may be filled again ten minutes after it was: that alone
    keeps mails to three in any ten minutes. Asked for an address nobody has, `email` stays empty.
    """

    address_hash = models.CharField(max_length=64)
    slot = models.PositiveSmallIntegerField()
    email = models.EmailField(blank=True)
    code_hash = models.CharField(max_length=64)
    browser_hash = models.CharField(max_length=64)
    sent_at = models.DateTimeField()
    expires_at = models.DateTimeField()
    guess_count = models.PositiveSmallIntegerField(default=0)
    used_at = models.DateTimeField(null=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["address_hash", "slot"], name="code_slot_once")]
        indexes = [
            models.Index(fields=["browser_hash"], name="code_by_browser"),
            models.Index(fields=["sent_at"], name="code_by_age"),
        ]

    def __str__(self) -> str:
        return f"code {self.pk}"


class SignInLink(models.Model):
    """A link that signs one person in once: the operator's, or in a printed letter; only its hash is kept."""

    secret: str = ""  # on the row of a letter that has just been made, and in no column

    class Kind(models.TextChoices):
        OPERATOR = "operator", _("link")
        LETTER = "letter", _("letter")

    person = models.ForeignKey(Person, models.CASCADE, related_name="sign_in_links")
    kind = models.CharField(max_length=8, choices=Kind, default=Kind.OPERATOR)
    token_hash = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(Person, models.PROTECT, null=True, related_name="+")
    expires_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True)
    taken_back_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["-made_at"]

    def __str__(self) -> str:
        return f"link {self.pk}"


class JoinRequest(models.Model):
    """Somebody who would like to join; the row goes once the coordinator has answered, whatever she answers."""

    name = models.CharField(_("name"), max_length=120)
    email = models.EmailField(_("email address"), blank=True)
    telephone = models.CharField(_("telephone"), max_length=40, blank=True)
    note = models.CharField(_("what she writes"), max_length=300, blank=True)
    contact_hash = models.CharField(max_length=64, unique=True)
    asked_at = models.DateTimeField()

    class Meta:
        ordering = ["asked_at", "pk"]

    def __str__(self) -> str:
        return self.name


class UnsentLetter(models.Model):
    """A letter of which it is not known that it has gone out: noted with what it tells of, removed once it is sent.

    Neither its text nor the address is kept: a letter tried again is written anew, to the address she has then.
    """

    class Kind(models.TextChoices):
        CODE = "code", _("a code to sign in")
        WELCOME = "welcome", _("welcome to the group")
        SUITS = "suits", _("kits are waiting that may suit her")
        KEPT = "kept", _("a kit is kept for her")
        BEFORE = "before", _("her kit is due soon")
        ON_THE_DAY = "on", _("her kit is due today")
        AFTER = "after", _("how her kit is coming along")
        CALL = "call", _("somebody asks for something")
        ANSWER = "answer", _("the answer to what she asked")

    class Reason(models.TextChoices):
        NOT_YET = "not yet", _("It has not been tried yet.")
        UNDER_WAY = "under way", _("Sending it was broken off. It may have arrived.")
        BROKE_OFF = "broke off", _("The line to the mail server broke off. It may have arrived.")
        NO_SERVER = "no server", _("The mail server could not be reached.")
        NO_ENTRY = "no entry", _("The mail server does not take letters from us.")
        LATER = "later", _("The mail server asked us to come back later.")
        ADDRESS = "address", _("Her address was refused. Please check how it is spelt.")
        REFUSED = "refused", _("The mail server refused this letter.")

    person = models.ForeignKey(Person, models.CASCADE, related_name="unsent_letters")
    kind = models.CharField(_("what it is about"), max_length=7, choices=Kind)
    about_ids = models.JSONField(default=list)
    kit_codes = models.JSONField(_("kits"), default=list)
    reason = models.CharField(_("why it was not sent"), max_length=9, choices=Reason, default=Reason.NOT_YET)
    made_at = models.DateTimeField(_("written at"))
    tried_at = models.DateTimeField(_("tried last at"))
    try_count = models.PositiveSmallIntegerField(_("how often it was tried"), default=0)
    next_try_at = models.DateTimeField(_("tried again at"), null=True)

    class Meta:
        ordering = ["-made_at", "-pk"]
        verbose_name_plural = _("letters that could not be sent")
        constraints = [
            models.UniqueConstraint(
                fields=["person"], condition=models.Q(kind="code"), name="one_unsent_code_each"
            ),
        ]
        indexes = [models.Index(fields=["next_try_at"], name="unsent_letter_by_next_try")]

    def __str__(self) -> str:
        return f"{self.kind} {self.pk}"
