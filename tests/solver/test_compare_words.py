"""Ratios are said as a class says them, and every sentence is one."""

from __future__ import annotations

import flint
import pytest

from solver.compare_words import decimal, multiple, share, share_of, so_much


def ratio(text: str) -> flint.fmpq:
    top, _, bottom = text.partition("/")
    return flint.fmpq(int(top), int(bottom or 1))


@pytest.mark.parametrize(
    ("number", "words"),
    [
        ("1/2", "half"),
        ("1/3", "a third"),
        ("2/3", "two thirds"),
        ("1/4", "a quarter"),
        ("3/4", "three quarters"),
        ("1/8", "an eighth"),
        ("1/11", "an eleventh"),
        ("5/12", "five twelfths"),
        ("1/13", None),
        ("0", None),
        ("1", None),
        ("4/3", None),
        ("-1/2", None),
    ],
)
def test_shares_have_names_down_to_a_twelfth(number: str, words: str | None):
    assert share(ratio(number)) == words


def test_a_share_is_of_something():
    assert share_of(ratio("1"), "the voltage") == "all of the voltage"
    assert share_of(ratio("1/2"), "the voltage") == "half the voltage"
    assert share_of(ratio("1/2"), "it") == "half of it"
    assert share_of(ratio("2/3"), "it") == "two thirds of it"
    assert share_of(ratio("1/17"), "it") is None


@pytest.mark.parametrize(
    ("number", "words"),
    [
        ("2", "twice the charge"),
        ("3", "three times the charge"),
        ("9", "nine times the charge"),
        ("12", "twelve times the charge"),
        ("13", "13 times the charge"),
        ("144", "144 times the charge"),
        ("1", "the same charge"),
        ("1/2", "half the charge"),
        ("1/9", "a ninth of the charge"),
        ("9/4", "2.25 times the charge"),
        ("3/2", "1.5 times the charge"),
        ("22/7", "3.14 times the charge"),
        ("7/50", "0.14 times the charge"),
    ],
)
def test_how_many_times_is_said_in_words_where_it_is_simple(number: str, words: str):
    assert so_much(ratio(number), "charge", 3) == words


def test_decimals_are_rounded_once_and_not_padded_where_they_end():
    assert decimal(ratio("1/8"), 3) == "0.125"
    assert decimal(ratio("1/16"), 3) == "0.0625"
    assert decimal(ratio("1/32"), 2) == "0.031"
    assert decimal(ratio("2/3"), 4) == "0.6667"
    assert decimal(ratio("-5/2"), 3) == "−2.5"
    assert decimal(ratio("-3"), 3) == "−3"
    assert multiple(ratio("9999/1000"), 3) == "10.0 times"


def test_what_hardly_differs_is_told_without_a_number():
    assert multiple(ratio("10001/10000"), 3) == "hardly more than"
    assert multiple(ratio("9999/10000"), 3) == "hardly less than"
    assert multiple(ratio("101/100"), 3) == "1.01 times"
    assert multiple(ratio("10000000001/10000000000"), 12) == "1.0000000001 times"


def test_long_numbers_stand_in_groups_of_three():
    assert decimal(ratio("22100000"), 3) == "22\u202f100\u202f000"
    assert decimal(ratio("-45678"), 3) == "−45\u202f678"
