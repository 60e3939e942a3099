"""A telephone number is dialled at a touch; the address is as RFC 3966 has it."""

import pytest

from gowngroup.records.templatetags.gown import to_ring


@pytest.mark.parametrize(
    ("telephone", "dialled"),
    [
        ("01632 960118", "01632960118"),
        ("(01632) 960-118", "01632960118"),
        ("+44 (0)1632 960118", "+441632960118"),
        ("+34 600 000 000", "+34600000000"),
    ],
)
def test_a_number_leads_to_the_telephone(telephone: str, dialled: str) -> None:
    """RFC 3966, section 3: digits, and a plus before a number that holds everywhere; what is read stays as written."""
    assert to_ring(telephone) == f'<a class="nowrap" href="tel:{dialled}">{telephone}</a>'


@pytest.mark.parametrize("telephone", ["", "112 or the shop", '"><b>1234567'])
def test_what_cannot_be_dialled_stays_text(telephone: str) -> None:
    """Words are no number, and are shown as text like any other value."""
    assert to_ring(telephone) is telephone
