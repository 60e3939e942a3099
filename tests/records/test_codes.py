"""Codes people type, checked against python-stdnum's ISO/IEC 7064 MOD 37,36."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stdnum.iso7064 import mod_37_36

from gowngroup.people.models import Person
from gowngroup.records.actions import new_code
from gowngroup.records.codes import (
    ALPHABET,
    CHECK_ALPHABET,
    COUNT,
    check_character,
    clean_code,
    code_of,
    is_code,
    spaced,
)

LOOK_ALIKES = set("0O1IL2Z5S8BUVQ")


@given(st.text(CHECK_ALPHABET, min_size=1, max_size=12))
def test_check_character_is_that_of_the_standard(text: str) -> None:
    """Our check character is the one python-stdnum computes by ISO/IEC 7064 MOD 37,36."""
    assert check_character(text) == mod_37_36.calc_check_digit(text)


@given(st.integers(1, COUNT - 1))
def test_codes_pass_the_standards_own_check(number: int) -> None:
    """A code given out is valid to python-stdnum and holds no look-alikes."""
    code = code_of("K", number)
    if code is not None:
        assert mod_37_36.is_valid(code)
        assert is_code(code)
        assert not LOOK_ALIKES & set(code)


@given(st.integers(1, COUNT - 1), st.integers(0, 5), st.sampled_from(ALPHABET))
def test_one_wrong_character_is_noticed(number: int, position: int, other: str) -> None:
    """A code with one character mistyped is not a code."""
    code = code_of("K", number)
    if code is not None and code[position] != other:
        assert not is_code(code[:position] + other + code[position + 1 :])


@given(st.integers(1, COUNT - 1), st.integers(0, 4))
def test_two_neighbours_swapped_are_noticed(number: int, position: int) -> None:
    """A code with two neighbouring characters swapped is not a code, as the standard promises."""
    code = code_of("K", number)
    if code is not None and code[position] != code[position + 1]:
        swapped = code[:position] + code[position + 1] + code[position] + code[position + 2 :]
        assert is_code(swapped) == mod_37_36.is_valid(swapped)


def test_no_code_comes_twice() -> None:
    """Running numbers give different codes all through the range, and most numbers give one."""
    given_out = [code for number in range(1, COUNT) if (code := code_of("K", number)) is not None]
    assert len(set(given_out)) == len(given_out) > COUNT / 2


@pytest.mark.parametrize("number", [0, COUNT, -1])
def test_numbers_outside_the_range_are_refused(number: int) -> None:
    """Codes are not wrapped round silently when the numbers run out."""
    with pytest.raises(ValueError, match="codes run from 1"):
        code_of("K", number)


@given(st.text(max_size=40))
def test_anything_typed_can_be_asked(typed: str) -> None:
    """Whatever is typed or scanned is either a code or not, never an error."""
    assert is_code(clean_code(typed)) in (True, False)


def test_spaces_dashes_and_small_letters_are_forgiven() -> None:
    """A code may be typed as it is printed, or in small letters."""
    code = code_of("K", 1)
    assert code is not None
    assert clean_code(f" {spaced(code).lower()} ") == code


@pytest.mark.django_db
def test_new_codes_differ(coordinator: Person) -> None:
    """Each new code differs from all before it, for each kind on its own counter."""
    codes = [new_code("K") for _ in range(40)] + [new_code("G") for _ in range(40)]
    assert len(set(codes)) == 80
    assert all(is_code(code) for code in codes)
