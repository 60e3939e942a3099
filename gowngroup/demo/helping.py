"""What goes on this week: stages handed on, calls for help, kits finished and wished for, somebody who would like to join."""

from datetime import datetime

from gowngroup.batches.actions import (
    KitArrangement,
    WishDetails,
    answer_call,
    arrange_kit,
    ask_for_help,
    ask_to_be_told,
    claim_kit,
    finish_row,
    hand_on,
    name_helpers,
    remind_sewers,
    report_part,
    say_finished,
    tell_those_waiting,
)
from gowngroup.batches.models import Kit, Stage
from gowngroup.batches.queries import kits_at_home
from gowngroup.catalog.models import MaterialKind, Purpose
from gowngroup.demo.scene import Scene
from gowngroup.people.actions import JoinDetails, MySettings, ask_to_join, change_my_settings
from gowngroup.people.models import Person, Practice, ReminderWay

HELPERS = ("Margit Hollósy", "Rosalind Peverell")
WISHING = ("Kazimiera Wrona", "Audrey Lockyear")
RINGS_US = "Edna Clutterham"
PLEATS = "Mei-Lin Tsao"
# What people have said on their own pages: each as she would.
WISHES: dict[str, dict[str, object]] = {
    "Mei-Lin Tsao": {"stages_liked": ["pleat", "smock"], "has_pleater": True},
    "Margit Hollósy": {"has_pleater": True},
    "Kazimiera Wrona": {"stages_liked": ["smock"]},
    "Audrey Lockyear": {"stages_liked": ["whole", "make up"], "practice": Practice.SOME.value},
    "Gwendoline Starr": {"practice": Practice.EASY.value, "hours_offered_min": 4 * 60},
    "Sunniva Haugland": {"is_left_handed": True},
    "Harriet Sallowfield": {"reminded_by": ReminderWay.TELEPHONE.value},
    "Lotte van Zuylekom": {"stages_liked": ["smock", "make up"]},
}
AWAY = "Patience Boateng"
ROWS_SEWN = {"Sunniva Haugland": 3, "Audrey Lockyear": 1}
NEWCOMER = JoinDetails(
    name="Philippa Rowntree",
    telephone="01632 960482",
    note="I smocked for my grandchildren and would like to again.",
)


def this_week(scene: Scene) -> None:
    """The days before the first of the month, at home and at the hall."""
    at = scene.at(0, -1, 18)
    name_helpers(people=[_named(name) for name in HELPERS], by=scene.cast.coordinator, at=at)
    _let_stages_go_round(scene, at)
    _call_for_help(scene)
    for name in WISHING:
        ask_to_be_told(details=WishDetails(), person=_named(name), by=_named(name), at=at)
    by_telephone = _named(RINGS_US)
    ask_to_be_told(details=WishDetails(), person=by_telephone, by=scene.cast.coordinator, at=at)
    ask_to_join(details=NEWCOMER, at=at)


def say_what_they_like(scene: Scene) -> None:
    """What people like to sew, who is away, who has sewn how far; then the letters of this morning go out."""
    at = scene.at(0, 0, 7)
    for name, wishes in WISHES.items():
        _wish(_named(name), wishes, at)
    _wish(_named(AWAY), {"away_until": scene.calendar.day(0, 20)}, at)
    for name, row_count in ROWS_SEWN.items():
        _sew_rows(_named(name), row_count, at)
    tell_those_waiting(at=scene.at(0, 0, 8, 30))
    remind_sewers(at=scene.at(0, 0, 8, 30))


def _wish(person: Person, wishes: dict[str, object], at: datetime) -> None:
    now = {name: getattr(person, name) for name in MySettings.__slots__}
    change_my_settings(settings=MySettings(**{**now, **wishes}), by=person, at=at)


def _sew_rows(person: Person, row_count: int, at: datetime) -> None:
    """Rows from the top of the first smocked kit she has at home."""
    for kit in kits_at_home(person).filter(design_revision__chart__isnull=False)[:1]:
        for number in range(1, row_count + 1):
            finish_row(kit=kit, row_number=number, by=person, at=at)


def _named(name: str) -> Person:
    return Person.objects.get(name=name)


def _let_stages_go_round(scene: Scene, at: datetime) -> None:
    """Of the kits waiting one is pleated by now, one still to be pleated, one can be posted, one lies elsewhere."""
    waiting = Kit.objects.filter(
        state=Kit.State.WAITING,
        purpose=Purpose.WORN,
        matched_set__isnull=True,
        design_revision__chart__isnull=False,
    )
    ways = (
        KitArrangement(stage=Stage.PLEAT.value),
        KitArrangement(stage=Stage.PLEAT.value, can_be_posted=True),
        KitArrangement(place="Oakfield library, at the desk"),
    )
    kits = list(waiting.order_by("pk")[: len(ways)])
    for kit, way in zip(kits, ways, strict=False):
        arrange_kit(kit=kit, arrangement=way, by=scene.cast.packer, at=at)
    claim_kit(kit=kits[0], by=_named(PLEATS), at=at)
    hand_on(kit=kits[0], are_needles_counted=True, duration_min=20, by=_named(PLEATS), at=scene.at(0, 0, 8))


def _call_for_help(scene: Scene) -> None:
    """One is stuck, one lacks floss, one was sent a new piece of lace, one has finished."""
    held = Kit.objects.filter(
        state=Kit.State.CLAIMED, purpose=Purpose.WORN, batch__month=scene.calendar.month(0)
    )
    stuck, lacking, sent, ready = held.select_related("holder").order_by("pk")[:4]
    ask_for_help(
        kit=stuck,
        words="The second row pulls in. Did I count wrongly?",
        by=_holder(stuck),
        at=scene.at(0, 0, 8),
    )
    floss = lacking.lines.filter(kind=MaterialKind.FLOSS).first()
    report_part(
        kit=lacking,
        kind="missing",
        line=floss,
        words="One length.",
        by=_holder(lacking),
        at=scene.at(0, 0, 8),
    )
    call = report_part(
        kit=sent, kind="spoilt", words="The cat has had the chart.", by=_holder(sent), at=scene.at(0, -1)
    )
    answer_call(call=call, answer="A new sheet is in the post.", by=scene.cast.packer, at=scene.at(0, -1, 15))
    say_finished(
        kit=ready,
        gown_count=ready.open_count,
        are_needles_counted=True,
        duration_min=300,
        by=_holder(ready),
        at=scene.at(0, 0, 8),
    )


def _holder(kit: Kit) -> Person:
    assert kit.holder is not None  # noqa: S101 - a claimed kit is held, by the database's own rule
    return kit.holder
