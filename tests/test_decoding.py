"""From plain data to typed values: every bad field named at its JSON Pointer, by one walk over the data."""

from datetime import date
from enum import Enum
from math import nan
from typing import Annotated, Any, Literal

import pytest
from msgspec import UNSET, Meta, Struct, UnsetType

from tallyplate.contract import Length, Refusal
from tallyplate.decoding import convert, escaped, length_hook, shown
from tallyplate.inquiry import Digest
from tallyplate.quote.keys import Octets
from tallyplate.quote.particulars import Number
from tallyplate.rates.heads import Id
from tallyplate.rates.quoting import Account, Country


class Part(Struct, frozen=True, forbid_unknown_fields=True, rename={"from_piece": "from"}):
    size: Length
    from_piece: Annotated[int, Meta(ge=1)] = 1


class Box(Struct, frozen=True, forbid_unknown_fields=True, tag_field="kind", tag="box"):
    parts: tuple[Part, ...]
    named: dict[Annotated[str, Meta(min_length=1)], Part]
    colour: Literal["red", "blue"] | UnsetType = UNSET
    lid: Part | UnsetType = UNSET
    label: Annotated[str, Meta(pattern="^[ -~]+$")] | UnsetType = UNSET

    def __post_init__(self) -> None:
        if not self.parts and not self.named:
            message = "a box holds something"
            raise ValueError(message)


GOOD: dict[str, Any] = {"kind": "box", "parts": [{"size": "1 in"}], "named": {"a/b": {"size": "1 mm", "from": 2}}}


def _faults(value: Any) -> dict[str, str]:
    with pytest.raises(Refusal) as raised:
        convert(value, Box, length_hook, "/box")
    return {fault.pointer: fault.message for fault in raised.value.faults}


def test_good_data_become_values() -> None:
    box = convert(GOOD, Box, length_hook)
    assert box.parts[0].size == pytest.approx(25.4)
    assert box.named["a/b"].from_piece == 2
    assert box.colour is UNSET


def test_every_fault_at_any_depth_is_found_in_one_walk() -> None:
    bad = {
        "kind": "crate",
        "parts": [{"size": 3}, {"size": "1 mm"}, {"from": 0}],
        "named": {"a/b": {"size": "x", "weight": 1}, "c~d": 7},
        "colour": "green",
        "lid": None,
        "shape": "round",
    }
    assert set(_faults(bad)) == {
        "/box/kind", "/box/parts/0/size", "/box/parts/2/from", "/box/parts/2/size", "/box/named/a~1b/size",
        "/box/named/a~1b/weight", "/box/named/c~0d", "/box/colour", "/box/lid", "/box/shape",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("change", "pointer", "says"),
    [
        ({"colour": "green"}, "/box/colour", "'green' is not accepted; accepted: blue, red|red, blue"),
        ({"kind": "crate"}, "/box/kind", "'crate' is not accepted; accepted: box"),
        ({"lid": {"size": "1 mm", "from": 0}}, "/box/lid/from", "0 is too small; accepted: at least 1"),
        ({"lid": {"size": 5}}, "/box/lid/size", "5 has no unit"),
        ({"lid": {"size": None}}, "/box/lid/size", "null is no length"),
        ({"lid": {"size": [True]}}, "/box/lid/size", "[true] is no length"),
        ({"lid": {"size": "-5 mm"}}, "/box/lid/size", "'-5 mm' is negative"),
        (
            {"label": "gr\xfcn"},
            "/box/label",
            "'gr\xfcn' is not accepted; accepted: letters, digits and signs of ASCII",
        ),
        ({"lid": {}}, "/box/lid/size", "is required and missing"),
        ({"shape": 1}, "/box/shape", "unknown field; accepted here: colour, kind, label, lid, named, parts"),
        ({"lid": {"size": "1 mm", "from_piece": 2}}, "/box/lid/from_piece", "accepted here: from, size"),
        ({"colour": 3.1}, "/box/colour", "3.1 is a number; accepted, as text: "),
        ({"kind": 3}, "/box/kind", "3 is a number; accepted, as text: 'box'"),
        ({"parts": {}}, "/box/parts", "{} is an object; accepted: a list"),
        ({"named": []}, "/box/named", "[] is a list; accepted: an object"),
        ({"named": {"": {"size": "1 mm"}}}, "/box/named/", "'' has 0 characters; accepted: at least 1"),
        ({"parts": [], "named": {}}, "/box", "a box holds something"),
    ],
    ids=repr,
)
def test_a_fault_says_what_stands_there_and_what_is_accepted(change: dict[str, Any], pointer: str, says: str) -> None:
    ((found, message),) = _faults({**GOOD, **change}).items()
    assert found == pointer
    assert any(part in message for part in says.split("|"))


class Finish(Enum):
    PLAIN = "plain"
    BLACK = "black"


@pytest.mark.parametrize(
    ("kind", "value", "says"),
    [
        (int, "1.5", "'1.5' is text; accepted: a whole number"),
        (int, 1.5, "1.5 is a number; accepted: a whole number"),
        (int | str, [], "[] is a list; accepted: a whole number or text"),
        (float, None, "null is not accepted; accepted: a number"),
        (bool, 0, "0 is a number; accepted: true or false"),
        (str, date(2026, 3, 2), "2026-03-02 is a date; accepted: text"),
        (date, "tomorrow", "'tomorrow' is no date; accepted: a date such as 2026-03-02"),
        (date, 7, "7 is a number; accepted: a date such as 2026-03-02"),
        (Finish, "red", "'red' is not accepted; accepted: plain, black"),
        (Finish, 3, "3 is a number; accepted, as text: 'plain', 'black'"),
        (Literal[2, 3], 4, "4 is not accepted; accepted: 2, 3"),
        (Annotated[str, Meta(max_length=2)], "Germany", "'Germany' has 7 characters; accepted: at most 2"),
        (Annotated[tuple[int, ...], Meta(min_length=2)], [1], "[1] has 1 item; accepted: at least 2"),
        (
            Annotated[dict[str, int], Meta(max_length=1)],
            {"a": 1, "b": 2},
            '{"a":1,"b":2} has 2 keys; accepted: at most 1',
        ),
        (Annotated[float, Meta(gt=0)], -1.5, "-1.5 is too small; accepted: more than 0.0"),
        (Annotated[float, Meta(lt=2)], 2.0, "2.0 is too large; accepted: less than 2.0"),
        (Annotated[float, Meta(le=2)], nan, "nan is no number; accepted: at most 2.0"),
        (Annotated[int, Meta(le=2)], 10**400, f"1{'0' * 79}... is too large; accepted: at most 2"),
        (Annotated[str, Meta(pattern="^x$")], "y", "'y' is not accepted; accepted: text that matches '^x$'"),
        (tuple[int, int], [1], "Expected `array` of length 2, got 1; found [1]"),
    ],
    ids=repr,
)
def test_a_refusal_is_in_plain_words_where_there_are_any(kind: Any, value: Any, says: str) -> None:
    with pytest.raises(Refusal) as raised:
        convert(value, kind, length_hook)
    assert [fault.message for fault in raised.value.faults] == [says]


@pytest.mark.parametrize("kind", [Account, Country, Digest, Id, Number, Octets], ids=repr)
def test_a_pattern_of_the_service_is_told_in_words(kind: Any) -> None:
    with pytest.raises(Refusal) as raised:
        convert("?", kind, length_hook)
    assert "text that matches" not in str(raised.value.faults)


def test_a_value_is_shown_once() -> None:
    assert _faults({**GOOD, "lid": {"size": 5}})["/box/lid/size"].count("5 has") == 1
    assert _faults({**GOOD, "parts": 5})["/box/parts"].count("5") == 1


@pytest.mark.parametrize("value", [None, 5, "box", [], True])
def test_what_is_no_object_is_the_fault_of_the_whole(value: Any) -> None:
    assert set(_faults(value)) == {"/box"}


def test_a_key_is_escaped_as_rfc_6901_says() -> None:
    # RFC 6901, section 5, gives these pointers for the keys "a/b" and "m~n" (from memory).
    assert (escaped("a/b"), escaped("m~n"), escaped("~1"), escaped(7)) == ("a~1b", "m~0n", "~01", "7")


def test_a_strangers_value_is_shown_cut_short() -> None:
    assert shown("600") == "'600'"
    assert len(shown("x" * 10_000)) < 100
    assert len(shown({"x": ["y"] * 10_000})) < 100
