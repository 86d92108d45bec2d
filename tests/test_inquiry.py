"""What a caller sends, as plain data and as bytes: whatever it is, it is read or refused with reasons."""

import json
from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallyplate.contract import Fault, Refusal
from tallyplate.inquiry import Budget, Inquiry, Malformed, decode, read
from tests.plates import ABSENT, MINIMAL, installation, request

SCALARS = st.none() | st.booleans() | st.integers(-(2**63), 2**63) | st.floats(allow_nan=False, allow_infinity=False)
KEYS = st.sampled_from(["plate", "quantity", "family", "length", "pattern", "pitch", "a:b", "a/b", ""]) | st.text()
JSON = st.recursive(
    SCALARS | st.text(),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(KEYS, inner, max_size=4),
    max_leaves=20,
)
POINTERS = st.sampled_from(
    ["/quantity", "/as_of", "/need_by", "/budget", "/pins", "/plate", "/plate/family", "/plate/length",
     "/plate/material", "/plate/pattern", "/plate/pattern/pitch", "/plate/pattern/origin", "/plate/mounting/locate",
     "/plate/marking/edges"]
)  # fmt: skip


def _read(changes: dict[str, Any]) -> Inquiry:
    return read(request(changes), installation().families)


@given(JSON)
def test_json_is_read_as_what_it_says(value: Any) -> None:
    assert decode(json.dumps(value).encode()) == value
    assert decode(json.dumps(value, ensure_ascii=False, indent=3).encode("utf-8", "surrogatepass")) == value


@given(st.binary(max_size=200) | st.text(max_size=200).map(lambda text: text.encode("utf-8", "surrogatepass")))
def test_any_bytes_are_read_or_refused(body: bytes) -> None:
    try:
        decode(body)
    except Malformed as refusal:
        (fault,) = refusal.faults
        assert fault.pointer == ""
        assert fault.message


@given(JSON)
def test_any_data_are_read_or_refused_with_reasons(value: Any) -> None:
    with pytest.raises(Refusal) as raised:
        read(value, installation().families)
    assert raised.value.faults


@given(POINTERS, JSON)
def test_any_value_in_any_field_is_priced_or_refused_with_reasons(pointer: str, value: Any) -> None:
    faults: tuple[Fault, ...] = (Fault("", "priced"),)
    try:
        installation().price(request({pointer: value}))
    except Refusal as refusal:
        faults = refusal.faults
    assert all(fault.message for fault in faults)
    assert faults


@pytest.mark.parametrize(
    ("text", "budget"),
    [
        ("4500.00 USD", Budget(450_000, "USD")), ("4500 USD", Budget(450_000, "USD")), ("0.5 USD", Budget(50, "USD")),
        ("4500 JPY", Budget(4_500, "JPY")), ("4.5 KWD", Budget(4_500, "KWD")), ("0 USD", Budget(0, "USD")),
        ("999999999999.99 USD", Budget(99_999_999_999_999, "USD")),
    ],
)  # fmt: skip
def test_a_budget_is_counted_in_minor_units_of_its_currency(text: str, budget: Budget) -> None:
    assert _read({"/budget": text}).budget == budget


def test_what_is_left_out_is_left_open_but_for_the_quantity_which_is_said_to_be_one() -> None:
    inquiry = read(MINIMAL, installation().families)
    assert (inquiry.quantity, inquiry.need_by, inquiry.budget) == (1, None, None)
    assert [(note.pointer, note.value) for note in inquiry.assumed] == [("/quantity", 1)]
    assert _read({"/as_of": ABSENT}).as_of is None
    assert _read({"/quantity": 1}).assumed == ()


def test_dates_are_read_as_dates() -> None:
    inquiry = _read({"/as_of": "2026-02-28", "/need_by": "2028-02-29"})
    assert (inquiry.as_of, inquiry.need_by) == (date(2026, 2, 28), date(2028, 2, 29))


@pytest.mark.parametrize(
    "body",
    [
        b'{"a":1,"a":1}',
        b'{"a":{"b":1,"b":2}}',
        b'[{"a":1,"\\u0061":2}]',
        b'{"a:":1,"a:":2}',
        b'{"\\u003a":1,"\\u003a":2}',
    ],
)
def test_a_key_given_twice_is_refused(body: bytes) -> None:
    with pytest.raises(Malformed, match="stands twice"):
        decode(body)


def test_equal_keys_in_different_objects_are_no_repetition() -> None:
    assert decode(b'[{"a":1},{"a":2,"b":{"a":"a:a:a"}}]') == [{"a": 1}, {"a": 2, "b": {"a": "a:a:a"}}]
