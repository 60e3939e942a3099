"""Kits go home with volunteers and their gowns come back, in full, in part, or not at all."""

from collections.abc import Iterable
from datetime import datetime, timedelta
from itertools import cycle

from gowngroup.batches.actions import claim_for, claim_kit, give_back
from gowngroup.batches.models import Kit, Stage
from gowngroup.batches.queries import bundle_count
from gowngroup.demo.scene import Scene
from gowngroup.gowns.actions import take_back
from gowngroup.people.models import Person
from gowngroup.people.queries import the_group

REMARKS = (
    "",
    "",
    "A pleasure to sew.",
    "",
    "The floss for the second row ran a little short.",
    "",
    "I sewed the sleeves twice; the second time they sat well.",
    "",
    "My granddaughter drew out the pleating threads.",
    "Could I have a yoke gown next time, please?",
)
# What is said of the floss, and how many lengths; this circle sews with a loose hand. Most say nothing.
FLOSS_SAID: tuple[tuple[str, int | None], ...] = (
    ("", None),
    ("left", 1),
    ("enough", None),
    ("short", 1),
    ("", None),
    ("left", 1),
    ("", None),
    ("left", 1),
    ("short", None),
    ("", None),
)


def hand_out(scene: Scene, kits: Iterable[Kit], *, at: datetime) -> None:
    """Let volunteers take kits, one after the other; who has no email is helped by the packer."""
    rota = _rota(scene)
    for number, kit in enumerate(kits):
        kit.refresh_from_db()
        if kit.state != Kit.State.WAITING:
            continue  # somebody has taken it with the rest of its matched set
        moment = at + timedelta(hours=5 * number // 3)
        person = next(each for each in rota if _may_take(each, kit))
        if person.email:
            claim_kit(kit=kit, by=person, at=moment)
        else:
            claim_for(kit=kit, person=person, by=scene.cast.packer, at=moment)


def _rota(scene: Scene) -> Iterable[Person]:
    people = list(scene.cast.sewing)
    scene.chance.shuffle(people)
    return cycle(people)


def _may_take(person: Person, kit: Kit) -> bool:
    has_agreed = person.has_agreed_to_memorial or not kit.is_memorial()
    return has_agreed and bundle_count(person) < the_group().claim_limit_count


def change_her_mind(kit: Kit, *, at: datetime) -> None:
    """The holder gives a kit back; somebody else may take it."""
    kit.refresh_from_db()
    holder = kit.holder
    if holder is not None:
        give_back(kit=kit, by=holder, at=at)


def bring_back(scene: Scene, kit: Kit, *, at: datetime, gown_count: int | None = None) -> None:
    """Take in the gowns of a kit, all that are out unless said; half of the sewers say how long it took."""
    kit.refresh_from_db()
    count = gown_count or kit.open_count
    usual_min = (kit.minutes_low + kit.minutes_high) // 2 * count // kit.gown_count
    has_said = scene.chance.random() < 0.5
    is_smocked = kit.stage in (Stage.WHOLE, Stage.SMOCK) and kit.design_revision.chart_id is not None
    floss_outcome, floss_cut_count = FLOSS_SAID[kit.pk % len(FLOSS_SAID)] if is_smocked else ("", None)
    take_back(
        kit=kit,
        gown_count=count,
        duration_min=round(usual_min * scene.chance.uniform(0.08, 0.13)) * 10 if has_said else None,
        remarks=scene.chance.choice(REMARKS),
        are_needles_counted=True,
        floss_outcome=floss_outcome,
        floss_cut_count=floss_cut_count,
        by=scene.cast.inspector,
        at=at,
    )
