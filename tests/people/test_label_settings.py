"""How labels are printed, as the coordinator sets it: the printer's offset and a sheet of the group's own."""

from collections.abc import Callable

import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.people.models import Group, LabelPrinting, Person
from gowngroup.records.models import TrailLine

pytestmark = pytest.mark.django_db
URL = "people:label_settings"
TYPED = {
    "offset_right_um": "-0.5",
    "offset_down_um": "1",
    "sheet_name": "round ones",
    "paper_size": "Letter",
    "column_count": "3",
    "row_count": "4",
    "label_width_um": "2 1/2 in",
    "label_height_um": "63.5",
    "pitch_x_um": "70",
    "pitch_y_um": "65,5 mm",
    "left_um": "4",
    "top_um": "5",
}


@pytest.fixture
def office(sign_in: Callable[[Person], Client], coordinator: Person, group: Group) -> Client:
    """The coordinator's browser."""
    return sign_in(coordinator)


def test_offset_and_sheet_are_kept(office: Client) -> None:
    """What was typed in millimetres or inches is kept exactly, with a line in the trail."""
    assert office.post(reverse(URL), TYPED).status_code == 302
    row = LabelPrinting.objects.get()
    assert (row.offset_right_um, row.offset_down_um, row.pitch_y_um) == (-500, 1000, 65_500)
    assert (row.label_width_um, row.label_height_um) == (63_500, 63_500)  # 1 in = 25.4 mm exactly
    assert TrailLine.objects.get().changes["offset_down_um"] == [0, 1000]
    assert 'value="-0.5"' in office.get(reverse(URL)).content.decode()


def test_offset_alone_needs_no_sheet(office: Client) -> None:
    """A group without a sheet of its own says only how far its printer is out."""
    assert office.post(reverse(URL), {"offset_right_um": "1.2", "paper_size": "A4"}).status_code == 302
    assert LabelPrinting.objects.get().offset_right_um == 1200


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"left_um": "15"}, "stick out of the right edge of the paper by 2.6 mm"),
        ({"top_um": "25"}, "stick out of the lower edge of the paper by 5.6 mm"),
        ({"pitch_x_um": "60"}, "side by side would overlap by 3.5 mm"),
        ({"pitch_y_um": "60"}, "below each other would overlap by 3.5 mm"),
        ({"offset_right_um": "-4.5"}, "stick out of the left edge of the paper by 0.5 mm"),
        ({"offset_down_um": "−6"}, "stick out of the upper edge of the paper by 1 mm"),
        ({"offset_down_um": "11"}, "seldom out by more than 10 mm"),
        ({"label_width_um": "9"}, "at least 10 mm"),
        ({"column_count": "40", "row_count": "40"}, "more than 400 labels"),
        ({"row_count": ""}, "count the labels of your own sheet"),
        ({"left_um": "-1"}, "Please type millimetres, such as 63.5"),
        ({"left_um": "wide"}, "Please type millimetres, such as 63.5"),
        ({"left_um": "900"}, "longer than any sheet of paper"),
    ],
)
def test_what_pushes_a_label_off_is_refused(office: Client, typed: dict[str, str], words: str) -> None:
    """A sheet or an offset that cannot be printed is told in a sentence; nothing is saved, the typing stays."""
    answer = office.post(reverse(URL), TYPED | typed)
    text = answer.content.decode()
    assert answer.status_code == 422
    assert words in text
    assert 'value="round ones"' in text
    assert not LabelPrinting.objects.exists()
