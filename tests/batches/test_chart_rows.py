"""The smocking chart on the screen: each row read back from its drawing, its words, and what she has finished."""

import re
from collections.abc import Callable
from itertools import groupby, pairwise
from xml.etree import ElementTree as ET

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from gowngroup.batches.actions import claim_kit, finish_row, give_back
from gowngroup.batches.models import Call, Kit, RowDone, SewingHelper
from gowngroup.batches.planner.chart_rows import chart_guide
from gowngroup.batches.planner.snapshots import kit_snapshot
from gowngroup.catalog.models import ChartRow as ChartRowModel
from gowngroup.people.models import Person
from gowngroup.planning.smocking import ChartRow
from gowngroup.records.models import TrailLine
from tests.batches.months import AT
from tests.factories import KitFactory
from tests.planning.smocking_simulator import Stitch
from tests.printing.conftest import MAKE_KIT, make_kit, revision  # noqa: F401 - fixtures
from tests.printing.test_kit_hand import PLEATS, Drawn, smocker_of, walked

pytestmark = pytest.mark.django_db
SignIn = Callable[[Person], Client]
LIFT_PX = 3.0


def row_url(kit: Kit, number: int, query: str = "") -> str:
    return reverse("batches:kit_chart_row", args=[kit.code, number]) + query


@pytest.fixture
def kit(make_kit: MAKE_KIT, volunteer: Person) -> Kit:  # noqa: F811
    """A smocked kit the volunteer has at home, one row of it starting at each edge."""
    ChartRowModel.objects.filter(position=2).update(start="left")
    ChartRowModel.objects.filter(position=3).update(start="right")
    made = make_kit(state=Kit.State.WAITING, gown_count=2)
    return claim_kit(kit=made, by=volunteer, at=AT).kit


@pytest.fixture
def client(volunteer: Person, sign_in: SignIn) -> Client:
    return sign_in(volunteer)


def drawing_of(client: Client, url: str) -> ET.Element:
    page = client.get(url).content.decode()
    found = re.search(r'<svg class="row-chart".*?</svg>', page, re.DOTALL)
    assert found
    return ET.fromstring(found[0])  # noqa: S314 - our own page


def lines_of(svg: ET.Element, name: str) -> list[ET.Element]:
    return [path for path in svg.iter("path") if name in (path.get("class") or "").split()]


def read_back(svg: ET.Element) -> Drawn:
    """Every strong stitch as the pleats and pleating threads it runs between, and the side of its thread."""
    pleats = [float(x) for x in re.findall(r"M(\S+) ", lines_of(svg, "chart-pleat")[0].get("d", ""))]
    threads = [float(y) for y in re.findall(r"M0 (\S+?)H", lines_of(svg, "chart-thread")[0].get("d", ""))]
    space = threads[1] - threads[0]
    found = set()
    for path in lines_of(svg, "strong"):
        side = "above" if "above" in path.get("class", "") else "below"
        lift = LIFT_PX if side == "above" else -LIFT_PX
        for run in path.get("d", "").split("M")[1:]:
            points = [tuple(map(float, point.split())) for point in run.split("L")]
            places = [
                (pleats.index(x), round(round(6 * (1 + (y + lift - threads[0]) / space)) / 6, 3))
                for x, y in points
            ]
            found |= {(frozenset(pair), side) for pair in pairwise(places)}
    return found


def rounded(stitches: Drawn) -> Drawn:
    return {
        (frozenset((pleat, round(row, 3)) for pleat, row in places), thread) for places, thread in stitches
    }


def rows_of(kit: Kit) -> tuple[ChartRow, ...]:
    snapshot = kit_snapshot(kit)
    assert snapshot is not None
    assert snapshot.need.smocking is not None
    return snapshot.need.smocking.chart.rows


@pytest.mark.parametrize("hand", ["right", "left"])
def test_each_row_is_what_a_smocker_walks(kit: Kit, client: Client, hand: str) -> None:
    """Every strong stitch of each row's page is one of an independent walk, for either hand, and none is missing."""
    for number, row in enumerate(rows_of(kit), start=1):
        svg = drawing_of(client, row_url(kit, number, f"?hand={hand}"))
        stitches = read_back(svg)
        assert len(stitches) == PLEATS - 1
        assert stitches == rounded(walked(row, is_left_handed=hand == "left")), number
        assert len(lines_of(svg, "faint")) == 2


def test_the_whole_chart_holds_every_row(kit: Kit, client: Client) -> None:
    """On the whole chart every row is strong, and stitch for stitch the same as on the rows' own pages."""
    whole = read_back(drawing_of(client, reverse("batches:kit_chart", args=[kit.code])))
    assert whole == set().union(*(rounded(walked(row, is_left_handed=False)) for row in rows_of(kit)))


def test_one_repeat_in_words_is_what_a_smocker_does(kit: Kit) -> None:
    """The words of a repeat are the first stitches of an independent walk, like ones together."""
    guide = chart_guide(kit, is_left_handed=False)
    assert guide is not None
    for row, told in zip(rows_of(kit), guide.rows, strict=True):
        walk = smocker_of(row).stitches[: row.repeat_pleats]
        assert told.turns == tuple(said(list(alike)) for _key, alike in groupby(walk, key=likeness))


def likeness(stitch: Stitch) -> tuple[int, str]:
    rise = stitch.to_height - stitch.from_height
    return (rise > 0) - (rise < 0), stitch.thread


def said(alike: list[Stitch]) -> str:
    way, thread = likeness(alike[0])
    word = {0: "level", 1: "up", -1: "down"}[way]
    return f"{len(alike)} stitch{'es' if len(alike) > 1 else ''} {word}, thread {thread} the needle"


def test_lengths_of_floss_add_up_to_those_of_the_kit(kit: Kit) -> None:
    """The needlefuls told for single rows come to those the plan reckoned for each floss."""
    snapshot, guide = kit_snapshot(kit), chart_guide(kit, is_left_handed=False)
    assert snapshot is not None
    assert guide is not None
    for floss in snapshot.need.floss:
        told = [row for row in guide.rows if row.floss_role == floss.role]
        assert sum(row.needleful_count for row in told) == floss.needlefuls
        assert {row.strand_count for row in told} == {floss.strand_count}


def test_a_row_is_told_in_words(kit: Kit, client: Client) -> None:
    """Stitch, floss by its shade, line, lengths, number of stitches, place, start and the way on stand on the page."""
    page = client.get(row_url(kit, 2)).content.decode()
    for words in (
        "Row 2 of 3: wave of 1 step",
        f"B, stranded cotton, leaf green {kit.code}",
        "drawn as a dashed line",
        "Start at the left edge and sew to the right.",
        "73 stitches, at pleating thread 1½ to 2. Start at",
        reverse("catalog:stitch_card", args=["wave"]),
        row_url(kit, 1),
        row_url(kit, 3),
        "I&#x27;ve finished row 2",
    ):
        assert words in page.replace("I've", "I&#x27;ve"), words


def test_her_own_hand_is_drawn(kit: Kit, client: Client, volunteer: Person) -> None:
    """Who sews with her left hand sees charts mirrored without asking, and can turn one back."""
    right = read_back(drawing_of(client, row_url(kit, 2)))
    Person.objects.filter(pk=volunteer.pk).update(is_left_handed=True)
    page = client.get(row_url(kit, 2)).content.decode()
    assert "Drawn for the left hand." in page
    assert "Start at the right edge and sew to the left." in page
    assert read_back(drawing_of(client, row_url(kit, 2))) != right
    assert read_back(drawing_of(client, row_url(kit, 2, "?hand=right"))) == right


def finish(client: Client, kit: Kit, number: int, **sent: str) -> str:
    answer = client.post(reverse("batches:kit_row_done", args=[kit.code, number]), sent)
    return answer["Location"] if answer.status_code == 302 else str(answer.status_code)


def test_a_finished_row_is_remembered_and_leads_on(kit: Kit, client: Client) -> None:
    """A finished row leads to the next one not sewn; it is shown faint and whole there, and can be taken back."""
    assert finish(client, kit, 1) == row_url(kit, 2)
    page = client.get(row_url(kit, 2)).content.decode()
    assert "Finished last: row 1." in page
    assert page.count('class="faint sewn"') == 1
    assert finish(client, kit, 1, is_done="no") == row_url(kit, 1)
    assert not RowDone.objects.exists()
    assert list(
        TrailLine.objects.filter(did__endswith="_row").values_list("did", flat=True).order_by("pk")
    ) == [
        "finish_row",
        "reopen_row",
    ]


def test_the_last_row_leads_to_the_whole_chart(kit: Kit, client: Client) -> None:
    """After the last one comes whatever was left out, then the whole chart, which says that all is sewn."""
    assert [finish(client, kit, number) for number in (2, 3, 1)] == [
        row_url(kit, 3),
        row_url(kit, 1),
        reverse("batches:kit_chart", args=[kit.code]),
    ]
    assert "Every row is sewn." in client.get(reverse("batches:kit_chart", args=[kit.code])).content.decode()


def test_one_form_has_one_effect(kit: Kit, client: Client) -> None:
    """The same form sent again, after the row was taken back, does not mark it once more."""
    finish(client, kit, 1, request_key="k")
    finish(client, kit, 1, is_done="no", request_key="other")
    finish(client, kit, 1, request_key="k")
    assert not RowDone.objects.exists()


def test_each_gown_of_a_kit_has_its_own_rows(kit: Kit, client: Client) -> None:
    """What is sewn on the second gown is not sewn on the first; the links stay with the gown and the hand."""
    assert finish(client, kit, 1, gown="2", hand="left") == row_url(kit, 2, "?gown=2&hand=left")
    assert "1 of 3 rows is sewn" in client.get(f"/batches/kits/{kit.code}/chart/?gown=2").content.decode()
    for odd in ("1", "0", "9", "x", "٢"):
        page = client.get(f"/batches/kits/{kit.code}/chart/", {"gown": odd}).content.decode()
        assert "It has 3 rows" in page, odd


def test_her_kits_say_how_far_each_chart_is(
    kit: Kit, client: Client, django_assert_num_queries: Callable[..., object]
) -> None:
    """Nothing before the first row; then the rows sewn over all gowns of a kit, on her kits and on its page."""
    assert "rows sewn" not in client.get("/batches/my-kits/").content.decode()
    with CaptureQueriesContext(connection) as before:
        client.get("/batches/my-kits/")
    query_count = len(before)
    finish(client, kit, 1)
    finish(client, kit, 2, gown="2")
    with django_assert_num_queries(query_count):  # type: ignore[attr-defined]
        page = client.get("/batches/my-kits/").content.decode()
    assert f"2 of {3 * kit.gown_count} rows sewn." in page
    assert (
        f"2 of {3 * kit.gown_count} rows sewn." in client.get(f"/batches/kits/{kit.code}/").content.decode()
    )


def test_rows_that_cannot_be(kit: Kit, client: Client) -> None:
    """A row the chart has not got is no page, and is not finished."""
    assert client.get(row_url(kit, 4)).status_code == 404
    assert client.get(row_url(kit, 10**20)).status_code == 404
    assert finish(client, kit, 4) == "422"
    assert finish(client, kit, 0) == "422"


def test_given_back_it_is_no_longer_hers(kit: Kit, client: Client, volunteer: Person) -> None:
    """A late form after giving the kit back is answered 409; whoever takes it next starts afresh."""
    finish_row(kit=kit, row_number=1, by=volunteer, at=AT)
    give_back(kit=kit, by=volunteer, at=AT)
    assert finish(client, kit, 2) == "409"
    again = claim_kit(kit=kit, by=volunteer, at=AT).kit
    assert "It has 3 rows" in client.get(f"/batches/kits/{again.code}/chart/").content.decode()


def test_who_may_follow_a_chart(
    kit: Kit, colleague: Person, packer: Person, inspector: Person, sign_in: SignIn
) -> None:
    """Staff may, a colleague not, unless she is named to help and was asked; only the holder says what is sewn."""
    asked = sign_in(colleague)
    assert asked.get(row_url(kit, 1)).status_code == 404
    SewingHelper.objects.create(person=colleague, named_at=AT)
    assert asked.get(row_url(kit, 1)).status_code == 404
    assert kit.holder is not None
    call = Call.objects.create(kit=kit, person=kit.holder, kind=Call.Kind.HELP, asked_at=AT)
    chart = reverse("batches:kit_chart", args=[kit.code])
    assert chart in asked.get(reverse("batches:call_page", args=[call.pk])).content.decode()
    page = asked.get(row_url(kit, 1)).content.decode()
    assert "Row 1 of 3" in page
    assert "finished row 1" not in page
    assert finish(asked, kit, 1) == "409"
    assert [sign_in(who).get(row_url(kit, 1)).status_code for who in (packer, inspector)] == [200, 200]


def test_a_kit_without_a_chart_says_so(group: object, volunteer: Person, client: Client) -> None:
    """What is not smocked, or whose plan cannot be read, has a sentence in place of a chart, and no link to one."""
    plain = claim_kit(kit=KitFactory(state=Kit.State.WAITING), by=volunteer, at=AT).kit
    answer = client.get(f"/batches/kits/{plain.code}/chart/")
    assert answer.status_code == 404
    assert "There is no chart to show" in answer.content.decode()
    assert client.get(row_url(plain, 1)).status_code == 404
    assert "Smock row by row" not in client.get("/batches/my-kits/").content.decode()


def test_her_kits_lead_to_the_chart(kit: Kit, client: Client) -> None:
    """From her kits one tap opens the chart, another the row to go on with; in a fixed number of questions."""
    assert f"/batches/kits/{kit.code}/chart/" in client.get("/batches/my-kits/").content.decode()
    assert "Start with row 1" in client.get(f"/batches/kits/{kit.code}/chart/").content.decode()
