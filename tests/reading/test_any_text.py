"""Whatever is written, a reading comes back, soon, and says only what stands in the note."""

import sys
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallyplate.contract import Refusal
from tallyplate.reading.note import MAX_NOTE, read
from tallyplate.reading.statements import Reading
from tallyplate.tradeoffs.questions.given import read as accepted
from tests.plates import installation
from tests.reading.cases import Note, notes, offer

PIECES = (
    *("24", "16", "1.5", "1 7/8", "600", "0,02", "1,500", ".005", "½", "1/2-13", "M12", "M12x1.75", "half", "thirteen"),
    *("inch and a half", "five eighths", "x", "by", "mm", "in", '"', "''", "thou", "-", "/", "±", "+/-", "Ø", "(", ")"),
    *(
        "long",
        "wide",
        "thick",
        "dia",
        "round",
        "tombstone",
        "faces",
        "high",
        "square",
        "plates",
        "plate",
        "slots",
        "T-",
    ),
    *("on", "centres", "pitch", "grid", "margin", "true position", "within", "flat", "table", "pins", "keys", "with"),
    *("6061-T6", "7075", "alloy", "mild steel", "cast", "iron", "hard", "anodised", "black oxide", "plain", "finish"),
    *("need", "three", "off", "qty", "a pair", "of", "them", "by", "2026-04-01", "03/04/2026", "April", "in two weeks"),
    *("under", "$4,500", "4.500,00 EUR", "budget", "each", "not", "about", "or", "and", ",", ".", "?", "\n", "> ", ";"),
    *(
        "marked",
        "left",
        "bottom",
        "all",
        "four",
        "sides",
        "no",
        "bushings",
        "the",
        "a",
        "part",
        "last",
        "0",
        "99999999",
    ),
)

SOUP = st.lists(st.sampled_from(PIECES), max_size=30).map(" ".join)
ANY = st.text(max_size=200) | SOUP | st.lists(st.sampled_from(PIECES), max_size=30).map("".join)
AS_OF = st.sampled_from(("", "2026-03-02", "2028-02-29"))


def quotes_only_the_note(text: str, found: Reading) -> None:
    parts: tuple[Any, ...] = (*found.answers, *found.unclear, *found.not_understood)
    for one in parts:
        assert one.words == text[one.start : one.end]
        assert one.words


@given(ANY, AS_OF)
def test_any_text_is_read_into_what_the_service_accepts_in_its_own_words(text: str, as_of: str) -> None:
    found = read(text, offer(as_of))
    quotes_only_the_note(text, found)
    assert accepted(found.request, installation().families).families
    assert len({one.pointer for one in found.answers}) == len(found.answers)


@given(SOUP)
def test_reading_twice_gives_the_same(text: str) -> None:
    assert read(text, offer()) == read(text, offer())


@given(
    st.sampled_from(notes()),
    st.sampled_from(("", "Hi,\n\n", "Good morning,\n\n", "Dear all,\n\nplease see below.\n\n")),
    st.sampled_from(("", "\n\nThanks", "\n\nBest regards\n", "\n\nThank you.\n\nCheers\n")),
)
def test_greetings_change_nothing(note: Note, before: str, after: str) -> None:
    plain = read(note.text, offer(note.as_of))
    greeted = read(before + note.text + after, offer(note.as_of))
    assert greeted.request == plain.request
    assert [(one.pointer, one.words) for one in greeted.answers] == [(one.pointer, one.words) for one in plain.answers]
    assert [one.start - len(before) for one in greeted.answers] == [one.start for one in plain.answers]


def counted(act: Callable[[], Any]) -> int:
    """Calls of functions while something is done."""
    calls = 0

    def count(_: object, event: str, __: object) -> None:
        nonlocal calls
        calls += event in {"call", "c_call"}

    sys.setprofile(count)
    try:
        act()
    finally:
        sys.setprofile(None)
    return calls


CALLS_A_CHARACTER = 250
"""Calls that a character may cost at most; the worst of the texts below costs about 160."""


@pytest.mark.parametrize(
    "piece",
    [
        "x",
        "1/",
        "1 x ",
        "24 by ",
        "- ",
        "and a half ",
        '"',
        '"1" ',
        "or 5 ",
        "\n",
        ">\n",
        ".,",
        "1 mm thick ",
        "a@",
        "5 off. Make that 6. ",
    ],
)
def test_long_texts_cost_as_much_a_character_as_short_ones(piece: str) -> None:
    read("", offer())
    text = piece * (4000 // len(piece))
    short, long = (counted(lambda text=part: read(text, offer())) for part in (text[: len(text) // 2], text))  # type: ignore[misc]
    assert long <= 2.2 * short
    assert long <= CALLS_A_CHARACTER * len(text)


@pytest.mark.parametrize("piece", ["24 x 16 in thick ", "1,500 mm long ", "6061-T6 or 7075 ", "5 off 6 off "])
def test_answers_stay_small_however_often_a_note_contradicts_itself(piece: str) -> None:
    text = (piece * MAX_NOTE)[:MAX_NOTE]
    found = read(text, offer())
    assert max((len(one.choices) for one in found.unclear), default=0) <= 8


@pytest.mark.parametrize("letter", ["1", "a", "/", "(", "^", "\u0130", "\U0001f529"])
def test_a_note_of_one_letter_repeated_is_read(letter: str) -> None:
    found = read(letter * MAX_NOTE, offer())
    assert found.request == {"plate": {}}


def test_a_longer_note_is_refused() -> None:
    with pytest.raises(Refusal) as refused:
        read("x" * (MAX_NOTE + 1), offer())
    (fault,) = refused.value.faults
    assert (fault.pointer, fault.message) == ("/note", "has 10001 characters; accepted: at most 10000")
