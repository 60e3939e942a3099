"""The proposal: what is asked, less what is there, giving way where hours or cloth run short."""

import re
from datetime import date

import pytest

from gowngroup.batches import actions
from gowngroup.batches.actions.batches import HoursImplausible
from gowngroup.batches.models import Batch, BatchLine
from gowngroup.batches.planner.proposal_words import limit_sentences, proposal_sentence, summary_sentences
from gowngroup.batches.templatetags.plans import comes_to, limits, why
from gowngroup.people.models import Person
from gowngroup.planning import integer_programme
from gowngroup.planning.mix import Judged
from gowngroup.stock.actions import receive_lot
from gowngroup.wards.actions import LineEntry, enter_request, pause_ward, set_shelf_level
from gowngroup.wards.models import RequestLine
from tests.batches import months
from tests.factories import KitFactory, PersonFactory

CODES = (
    "asked",
    "closure_refused",
    "shade_avoided",
    "wash_refused",
    "of_designs",
    "safety",
    "matched_sets",
    "hours_ran_out",
    "pleat_hours_ran_out",
    "smock_hours_ran_out",
    "make_up_hours_ran_out",
    "cloth_ran_out",
    "no_common_cloth",
    "several_ran_out",
    "hours_and_cloth_ran_out",
    "no_design",
    "left_over",
)


@pytest.fixture
def by(coordinator: Person) -> Person:
    """The coordinator, with the starting catalog."""
    months.catalog(coordinator)
    return coordinator


def gowns(batch: Batch) -> dict[tuple[int, str], int]:
    """Gowns by upper weight and purpose."""
    return {(line.size.upper_mass_g, line.purpose): line.gown_count for line in batch.lines.all()}


def test_shelf_and_a_share_of_kits_out_are_taken_off(by: Person) -> None:
    """Of 6 asked, 2 on the shelf and 3 out at 0.9 leave 2 to make, and the line says so in words."""
    months.cloth(by)
    months.ask(by, months.ward(2500), (2500, 6))
    KitFactory(size=months.size_to(2500), gown_count=3, lay__plan__batch__number=9)
    batch = months.proposed(by, passed=months.gowns_of(2500, 2))
    line = batch.lines.get()
    assert (line.gown_count, line.proposed_count) == (2, 2)
    assert why(line) == (
        "The wards asked for 6. 2 are ready on the shelf. 3 are planned already, being sewn or being checked; usually 90 in 100 pass."
    )


def test_gowns_in_check_count_like_those_out(by: Person) -> None:
    """Ten gowns back and not yet passed are worth nine of those asked."""
    months.cloth(by)
    months.ask(by, months.ward(2500), (2500, 12))
    batch = months.proposed(by, in_check=months.gowns_of(2500, 10))
    assert gowns(batch) == {(2500, "worn"): 3}


def test_hours_bind(by: Person) -> None:
    """With hours for a few gowns only so many are proposed, and the line says what ran out."""
    months.cloth(by, 20 * months.METRE)
    months.ask(by, months.ward(2500), (2500, 12))
    line = months.proposed(by, hours=14).lines.get()
    assert 0 < line.gown_count < 12
    assert why(line) == left_out(12, line, "the volunteers have no more hours")


def test_cloth_binds(by: Person) -> None:
    """With cloth for a few gowns only so many are proposed, although hours are plenty."""
    months.cloth(by, 1 * months.METRE)
    months.ask(by, months.ward(2500), (2500, 12))
    line = months.proposed(by).lines.get()
    assert 0 < line.gown_count < 4
    assert why(line) == left_out(12, line, "there is not enough suitable cloth")


def test_cloth_the_ward_would_shrink_is_no_cloth(by: Person) -> None:
    """A ward that washes at 71 °C gets nothing from cloth that stands 40 °C."""
    batiste = months.material(by, "cloth", "Delicate", mass_g_per_m2=95, wash_max_c=40)
    receive_lot(
        material=batiste, amount=6 * months.METRE, width_um=1_120_000, state="measured", by=by, at=months.AT
    )
    months.ask(by, months.ward(2500, wash_c=71), (2500, 2))
    assert gowns(months.proposed(by)) == {(2500, "worn"): 0}


def test_agreed_shelves_come_first(by: Person) -> None:
    """What an agreed memorial shelf lacks is made before gowns to wear when hours are short."""
    months.cloth(by)
    asking = months.ward(500, 2500)
    set_shelf_level(
        ward=asking, size=months.size_to(500), minimum_count=3, present_count=1, by=by, at=months.AT
    )
    months.ask(by, asking, (2500, 5))
    assert gowns(months.proposed(by, hours=5)) == {(500, "memorial"): 2, (2500, "worn"): 0}


def test_without_a_request_nothing_is_proposed(by: Person) -> None:
    """With no open request the sentence says what to do, and the batch stays as it was."""
    batch = actions.start_batch(month=months.MARCH, by=by, at=months.AT)
    with pytest.raises(actions.NothingAsked, match="Enter a request first, or add lines by hand"):
        actions.propose_batch(batch=batch, by=by, at=months.AT)
    assert not batch.lines.exists()


def test_a_paused_ward_waits(by: Person) -> None:
    """A ward that takes no deliveries until after the month gets nothing made."""
    months.cloth(by)
    asking = months.ward(2500)
    months.ask(by, asking, (2500, 6))
    pause_ward(ward=asking, paused_until=date(2026, 4, 15), by=by, at=months.AT)
    with pytest.raises(actions.NothingAsked):
        months.proposed(by)


def test_the_closure_the_ward_accepts_decides(by: Person) -> None:
    """A ward that accepts wraps only is proposed no gown with a fastening."""
    months.cloth(by)
    months.ask(by, months.ward(2500, closures=["wrap"]), (2500, 3))
    with pytest.raises(actions.NothingAsked):
        months.proposed(by)


def test_hours_start_as_the_sum_offered(by: Person) -> None:
    """A batch starts with the minutes all volunteers offer together."""
    PersonFactory(hours_offered_min=300)
    PersonFactory(hours_offered_min=450)
    PersonFactory(hours_offered_min=999, is_active=False)
    assert actions.start_batch(month=months.MARCH, by=by, at=months.AT).hours_offered_min == 750


def test_gowns_of_another_open_batch_are_not_made_twice(by: Person) -> None:
    """A second batch of the month leaves out what the first is about to make."""
    months.cloth(by)
    months.ask(by, months.ward(2500), (2500, 10))
    first = months.proposed(by)
    second = months.proposed(by)
    assert (gowns(first), gowns(second)) == ({(2500, "worn"): 10}, {(2500, "worn"): 1})


def test_usual_materials_are_chosen(by: Person) -> None:
    """Each part gets what most is free of, the flosses differ, and bags are never taken for fastenings."""
    months.cloth(by)
    months.sundries(by)
    months.ask(by, months.ward(2500), (2500, 2))
    chosen = {(row.kind, row.part): str(row.material) for row in months.proposed(by).choices.all()}
    assert chosen == {
        ("floss", "A"): "Stranded cotton, old rose",
        ("floss", "B"): "Stranded cotton, sage",
        ("lace", "sleeve hems"): "Narrow cotton lace",
        ("notion", "flat fastening, not of metal"): "Flat fastenings",
        ("thread", "seams"): "White thread",
    }


def test_a_changed_number_keeps_what_was_proposed(by: Person) -> None:
    """Changing a number keeps the reason and the number that was proposed beside it."""
    months.cloth(by)
    months.ask(by, months.ward(2500), (2500, 4))
    batch = months.proposed(by)
    line = batch.lines.get()
    details = actions.LineDetails(
        revision=line.design_revision, size=line.size, purpose="worn", gown_count=7, gowns_per_kit=2
    )
    actions.set_lines(batch=batch, lines=[details], by=by, at=months.AT)
    line = batch.lines.get()
    assert (line.gown_count, line.proposed_count, why(line)) == (7, 4, "The wards asked for 4.")


def left_out(asked: int, line: BatchLine, because: str) -> str:
    """What a line says of gowns asked for and not made."""
    missed = asked - line.gown_count
    verb = "is" if missed == 1 else "are"
    return f"The wards asked for {asked}. {missed} {verb} left out: {because}."


def words_of(batch: Batch) -> str:
    """What the proposal comes to and what would free more, as its page says it."""
    return " ".join([*comes_to(batch), *limits(batch)])


def test_gowns_closed_otherwise_do_not_count(by: Person) -> None:
    """Gowns with ties on the shelf leave all six to be made for a ward that accepts none, and the line says so."""
    months.cloth(by)
    asking = months.ward(2500)
    months.ask(by, asking, (2500, 6))
    line = months.proposed(by, passed=months.gowns_of(2500, 2, "ties")).lines.get()
    assert line.gown_count == 6
    assert why(line) == (
        "The wards asked for 6. 2 are ready on the shelf."
        f" 2 of them are not counted for {asking}, where their closure is not accepted."
    )


def test_gowns_in_an_avoided_shade_do_not_count(by: Person) -> None:
    """A yellow gown on the shelf is no gown for a ward that avoids yellow, but one for the ward next door."""
    months.cloth(by)
    avoiding, taking = months.ward(2500, avoided_shades=["yellow"]), months.ward(2500)
    months.ask(by, avoiding, (2500, 4))
    months.ask(by, taking, (2500, 2))
    there = months.gowns_of(2500, 1) | months.gowns_of(2500, 5, cloth="Batiste, pale Yellow")
    line = months.proposed(by, passed=there).lines.get()
    assert line.gown_count == 3
    assert {(share["ward_id"], share["covered"]) for share in line.reason["wards"]} == {
        (avoiding.pk, 1),
        (taking.pk, 2),
    }
    assert why(line) == (
        "The wards asked for 6. 6 are ready on the shelf."
        f" 5 of them are not counted for {avoiding}, where cloth of their shade is not wanted."
    )


def test_a_ward_that_asks_for_another_size_parts_no_gowns(by: Person) -> None:
    """Of 5 gowns out in white and 5 in yellow 9 are expected to pass, whatever a ward of another size avoids."""
    months.cloth(by)
    months.ask(by, months.ward(2500), (2500, 12))
    months.ask(by, months.ward(3500, avoided_shades=["yellow"]), (3500, 1))
    for shade in ("yellow", "white"):
        lot = receive_lot(
            material=months.material(by, "cloth", "Lawn", shade=shade, mass_g_per_m2=95, wash_max_c=71),
            amount=months.METRE,
            width_um=1_120_000,
            by=by,
            at=months.AT,
        )
        KitFactory(size=months.size_to(2500), gown_count=5, outer_lot=lot, lay__plan__batch__number=9)
    assert gowns(months.proposed(by))[2500, "worn"] == 12 - 9


def test_a_gown_being_sewn_in_an_avoided_shade_does_not_count(by: Person) -> None:
    """A kit out in yellow brings nothing to the ward that avoids yellow; neither does one of cloth it would shrink."""
    months.cloth(by)
    asking = months.ward(2500, avoided_shades=["yellow"], wash_c=71)
    months.ask(by, asking, (2500, 6))
    for shade, wash_max_c in (("yellow", 71), ("white", 40)):
        lot = receive_lot(
            material=months.material(
                by, "cloth", "Lawn", shade=shade, mass_g_per_m2=95, wash_max_c=wash_max_c
            ),
            amount=months.METRE,
            width_um=1_120_000,
            by=by,
            at=months.AT,
        )
        KitFactory(size=months.size_to(2500), gown_count=2, outer_lot=lot)
    line = months.proposed(by).lines.get()
    assert line.gown_count == 6
    assert why(line) == (
        "The wards asked for 6. 4 are planned already, being sewn or being checked; usually 90 in 100 pass."
        f" 2 of them are not counted for {asking}, where cloth of their shade is not wanted."
        f" 2 of them are not counted for {asking}, whose laundry is hotter than their cloth is known to stand."
    )


def test_gowns_kept_from_several_wards_are_told_once(by: Person) -> None:
    """Where two wards refuse the same gown one sentence names both."""
    months.cloth(by)
    asking = sorted([months.ward(2500), months.ward(2500)], key=str)
    for each in asking:
        months.ask(by, each, (2500, 1))
    line = months.proposed(by, passed=months.gowns_of(2500, 1, "ties")).lines.get()
    assert (
        f"1 of them is not counted for {asking[0]} and {asking[1]}, where its closure is not accepted."
        in why(line)
    )


def test_share_passed_is_the_size_s_own_where_many_were_checked(by: Person) -> None:
    """Ninety of a hundred gowns of a size set aside leave little to hope for of ten in check."""
    months.cloth(by)
    months.ask(by, months.ward(2500), (2500, 8))
    judged = {months.size_to(2500).pk: Judged(passed_count=10, judged_count=100)}
    line = months.proposed(by, in_check=months.gowns_of(2500, 10), judged=judged).lines.get()
    assert (line.gown_count, why(line)) == (
        7,
        "The wards asked for 8. 10 are planned already, being sewn or being checked; usually 11 in 100 pass.",
    )


def test_hours_of_smocking_bind_and_say_what_would_free_more(by: Person) -> None:
    """With few hours of smocking the line, and the page, name smocking and the hours that would free the rest."""
    months.cloth(by, 20 * months.METRE)
    months.ask(by, months.ward(2500), (2500, 6))
    batch = months.proposed(by, stage_hours=actions.StageHours(smock_min=9 * 60))
    line = batch.lines.get()
    assert why(line) == left_out(6, line, "there are no more hours for smocking")
    assert re.search(
        rf"With \d+ more hours of smocking, {6 - line.gown_count} more gowns? could be made", words_of(batch)
    )


def test_cloth_to_buy_is_told_as_a_length(by: Person) -> None:
    """With little cloth the page says how much of which kind would free how many gowns."""
    months.cloth(by, 1 * months.METRE)
    months.ask(by, months.ward(2500), (2500, 12))
    batch = months.proposed(by)
    made = batch.lines.get().gown_count
    assert re.search(
        rf"With about \d+(\.\d)? m more of cloth 1\.12 m wide \(.+ g per square metre\), {12 - made} more",
        words_of(batch),
    )
    assert f"Of 12 gowns asked for, {made} are there already or will be made." in words_of(batch)


def test_a_rare_size_is_kept_ready(by: Person) -> None:
    """A size asked now and then keeps some ready in a month nobody asks for it, and says why."""
    months.cloth(by)
    asking = months.ward(2500, 2000)
    february = months.AT.replace(month=2)
    entry = LineEntry(size=months.size_to(2000), purpose="worn", gown_count=1)
    request = enter_request(ward=asking, month=date(2026, 2, 1), lines=[entry], by=by, at=february)
    RequestLine.objects.filter(request=request).update(met_count=1)
    months.ask(by, asking, (2500, 1))
    kept = months.proposed(by).lines.get(size=months.size_to(2000))
    assert kept.gown_count == 3
    assert why(kept) == (
        "No ward asked for any this month. 3 of them are to lie ready on the shelf: the wards ask for about 12 of this"
        " size in a year, and sometimes for several at once."
    )


def test_every_reason_and_limit_has_words() -> None:
    """No code of the planner is shown bare."""
    values = {
        "asked": 0,
        "shelf": 0,
        "out": 0,
        "make": 1,
        "all": 2,
        "kept": 1,
        "mean": 0.5,
        "count": 2,
        "missed": 3,
        "wards": ["Rowan ward"],
        "lacks": ["cloth"],
    }
    for code in CODES:
        assert proposal_sentence(code, values)


@pytest.mark.parametrize(
    ("lacks", "named"),
    [
        (["any", "cloth"], "hours and suitable cloth"),
        (["smock", "any", "cloth"], "hours for smocking, hours for the rest and suitable cloth"),
        (["pleat", "smock", "make_up"], "hours for pleating, hours for smocking and hours for making up"),
    ],
)
def test_all_that_ran_out_is_named(lacks: list[str], named: str) -> None:
    """A line that lacks several things says each of them."""
    told = proposal_sentence("several_ran_out", {"missed": 2, "lacks": lacks})
    assert told == f"2 are left out: too little is left of {named}."


def test_what_would_free_gowns_is_told_stage_by_stage_and_cloth_by_cloth() -> None:
    """Hours in whole ones of each stage, then those for the rest, then each kind of cloth."""
    cloth = {"length_um": 5, "width_um": 1_120_000, "least_gsm": None, "greatest_gsm": None}
    stages = {"any": 1, "smock": 61, "make_up": 60, "pleat": 120}
    kinds = [cloth, {**cloth, "least_gsm": 80}, {**cloth, "greatest_gsm": 120}]
    freeing = [
        {"code": "hours", "more_count": 1, "more_min": {"any": 61}, "more_cloth": [cloth]},
        {"code": "cloth", "more_count": 2, "more_min": {}, "more_cloth": [{**kinds[1], "greatest_gsm": 120}]},
        {"code": "several", "more_count": 2, "more_min": stages, "more_cloth": kinds[1:]},
        {"code": "no_design", "more_count": 1, "more_min": {}, "more_cloth": []},
        {"code": "hours", "more_count": 1, "more_min": {"any": 0}, "more_cloth": []},  # found by searching on
    ]
    assert limit_sentences({"freeing": freeing}) == [
        "With 2 more hours and about 10 cm more of cloth 1.12 m wide, 1 more gown could be made.",
        "With about 10 cm more of cloth 1.12 m wide (80 to 120 g per square metre), 2 more gowns could be made.",
        "With 2 more hours of pleating, 2 more hours of smocking, 1 more hour of making up, 1 more hour for the rest,"
        " about 10 cm more of cloth 1.12 m wide (at least 80 g per square metre) and about 10 cm more of cloth 1.12 m"
        " wide (at most 120 g per square metre), 2 more gowns could be made.",
        "1 gown cannot be made: none of your designs is made in its size and for its purpose with a closure the ward"
        " accepts.",
    ]


def test_what_is_short_is_said_gently() -> None:
    """Memorial gowns still missing, the ward served least and a mix not proven are each a plain sentence."""
    told = {"asked": 9, "met": 4, "memorial_short": 2, "worst_cover": 0.5, "is_proven": False}
    sentences = " ".join(summary_sentences(told, worst_ward="Rowan ward"))
    assert "2 memorial gowns are still missing." in sentences
    assert "Rowan ward gets the smallest share: 50 of every 100 gowns it asked for." in sentences
    assert "slightly better choice" in sentences


def test_one_gown_is_told_as_one() -> None:
    """A month in which one gown is asked for speaks of it in the singular."""
    told = {"asked": 1, "met": 1, "memorial_short": 0, "worst_cover": 1.0, "is_proven": True}
    sentence = "1 gown is asked for; 1 is there already or will be made."
    assert summary_sentences(told, worst_ward=None) == [sentence]


def test_a_share_met_is_rounded_down_only_where_it_is_no_whole_number() -> None:
    """57 of 100 gowns are 57 in a hundred, not 56 for a rounding error; 2 of 3 are 66."""
    for cover, percent in ((57 / 100, 57), (2 / 3, 66)):
        told = {"asked": 100, "met": 57, "memorial_short": 0, "worst_cover": cover, "is_proven": True}
        assert f"{percent} of every 100" in " ".join(summary_sentences(told, worst_ward="Rowan ward"))


def test_a_proposal_that_fails_keeps_the_batch(by: Person, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the solver gives up the page says what to do instead, and the batch stays as it was."""
    months.cloth(by)
    months.ask(by, months.ward(2500), (2500, 2))
    monkeypatch.setattr(integer_programme, "_MOST_NODES", -1)
    with pytest.raises(actions.NotWorkedOut, match="Add lines by hand"):
        months.proposed(by)


def test_hours_by_stage_must_be_possible(by: Person) -> None:
    """More hours of smocking than any group has are refused, the field named."""
    with pytest.raises(HoursImplausible) as refusal:
        months.proposed(by, stage_hours=actions.StageHours(smock_min=10**9))
    assert refusal.value.field == "smock"
