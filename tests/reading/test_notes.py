"""Notes of our own writing, read: no wrong field in any, and at most one missed in each.

Three files were held out: their notes were written after the rules read all the others, and scored before a rule was
changed for them. What they showed was mended then, and they are kept as cases with the rest.

| file            | notes | right | wrong | missed | precision | recall |
|-----------------|-------|-------|-------|--------|-----------|--------|
| held_out        | 26    | 119   | 9     | 13     | 93.0 %    | 90.2 % |
| held_out_later  | 12    | 69    | 2     | 9      | 97.2 %    | 88.5 % |
| held_out_last   | 10    | 66    | 5     | 7      | 93.0 %    | 90.4 % |

Those are the first scores, by the expectations as they were first written. Seven of them were then found to be lacking
a field that the note states (two pitches, a centre bore, a hollow block, a position tolerance, a family, a quantity),
and were completed. Among the wrong ones were quantities that counted something else (the four sides of a block, eight
holes), a size behind a misspelled word, a screw that an earlier plate had, the plate of a cancelled line, a limit on
the price of each. So in a note of a new kind about one field of fifteen must be expected to be read wrongly; the words
that stand with each answer are there to be looked at.
"""

from typing import Any

import pytest

from tallyplate.tradeoffs.questions.given import read as given
from tests.plates import installation
from tests.reading.cases import Note, flat, notes, reading, score

CASES = pytest.mark.parametrize("note", notes(), ids=lambda note: f"{note.file}: {note.what}")


def test_there_are_enough_notes_and_more_than_twenty_were_held_out() -> None:
    assert len(notes()) >= 60
    assert sum(note.file.startswith("held_out") for note in notes()) >= 20
    assert len({(note.text, note.as_of) for note in notes()}) == len(notes())


@CASES
def test_no_field_is_wrong_and_at_most_one_is_missed(note: Note) -> None:
    found = score(note)
    assert found.wrong == ()
    assert len(found.missed) <= 1, found.missed


@CASES
def test_what_is_not_certain_is_handed_back_with_its_words(note: Note) -> None:
    found = reading(note)
    unclear = [f"{one.pointer} {one.words}" for one in found.unclear]
    assert [one for one in note.unclear if one not in unclear] == [], unclear
    left = [one.words for one in found.not_understood]
    assert [one for one in note.not_understood if not any(one in words for words in left)] == [], left


@CASES
def test_every_answer_quotes_the_note_and_stands_in_the_request(note: Note) -> None:
    found = reading(note)
    parts: tuple[Any, ...] = (*found.answers, *found.unclear, *found.not_understood)
    for one in parts:
        assert one.words == note.text[one.start : one.end] != ""
    assert {one.pointer: list(one.value) if isinstance(one.value, tuple) else one.value for one in found.answers} == {
        pointer: value for pointer, value in flat(found.request).items() if pointer != "/plate"
    }


@CASES
def test_the_service_accepts_what_was_read(note: Note) -> None:
    request = reading(note).request
    families = given(request, installation().families).families
    assert families
    if "family" in request["plate"] and all(needed == () for needed in families.values()):
        assert installation().price(request).total


def test_over_all_notes_nothing_is_wrong_and_little_is_missed() -> None:
    scores = [score(note) for note in notes()]
    right, missed = sum(one.right for one in scores), sum(len(one.missed) for one in scores)
    print(f"{len(scores)} notes: {right} fields right, 0 wrong, {missed} missed")
    assert missed / (right + missed) < 0.01
