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
    hand_on,
    name_helpers,
    report_part,
    say_finished,
)
from gowngroup.batches.models import Kit, Stage
from gowngroup.catalog.models import MaterialKind, Purpose
from gowngroup.demo.scene import Scene
from gowngroup.people.actions import JoinDetails, ask_to_join
from gowngroup.people.models import Person

HELPERS = ("Margit Hollósy", "Rosalind Peverell")
WISHING = ("Kazimiera Wrona", "Audrey Lockyear")
PLEATS = "Mei-Lin Tsao"
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
        ask_to_be_told(details=WishDetails(), by=_named(name), at=at)
    ask_to_join(details=NEWCOMER, at=at)


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
