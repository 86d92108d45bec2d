"""What callers write breaks neither the layout of a drawing nor the document."""

from pathlib import Path
from typing import Final

import ezdxf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tallyplate.documents.drawings.as_dxf import coded
from tallyplate.documents.drawings.shapes import Text, breadth, fitted, pressed
from tests.documents.drawing import SVG, parsed
from tests.documents.group_codes import entities, section
from tests.documents.plates import drawn, dxf, made, svg

HOSTILE: Final = (
    "</text></svg><script>alert(1)</script>",
    '"/><image href="http://evil.example/x"/>',
    "&amp;&lt;&#0;]]>",
    "WWWWWWWWWW" * 20,
    "\u677f" * 200,
    "\U0001f600" * 200,
    "abc\u202edef\u2066ghi",
    "a\nb\r\n  0\nENDSEC\n  0\nEOF\n",
    "0\r\nSECTION",
    "%%u under %%o over %%c %%123",
    "\\P \\U+2205 \\A1;{\\fArial;x}",
    "^J^M^I caret",
    "\x00\x07\x1b[31m",
    "\ud800 half",
    " " * 200,
    "",
)
TEXTS: Final = st.text(alphabet=st.characters(), max_size=200) | st.sampled_from(HOSTILE)


@pytest.mark.parametrize("words", HOSTILE, ids=lambda words: repr(words)[:30])
def test_hostile_words_add_no_shape_and_leave_no_room_of_theirs(words: str) -> None:
    plain, hostile = (parsed(svg(made("usual"), title=said, number=said)) for said in ("x", words))
    assert [one.tag for one in hostile.iter()] == [one.tag for one in plain.iter()]
    column = 0.3 * drawn(made("usual")).width
    for text in hostile.iter(f"{SVG}text"):
        assert float(text.get("textLength", "0")) <= column
    for one in hostile.iter():
        assert not {name for name in one.attrib if name.startswith("on")}


@pytest.mark.parametrize("words", HOSTILE, ids=lambda words: repr(words)[:30])
def test_hostile_words_leave_the_dxf_whole(words: str, tmp_path: Path) -> None:
    plain, hostile = (dxf(made("usual"), title=said, number=said) for said in ("x", words))
    assert [one.kind for one in entities(hostile)] == [one.kind for one in entities(plain)]
    file = tmp_path / "hostile.dxf"
    file.write_text(hostile, encoding="utf-8", newline="")
    audit = ezdxf.readfile(file).audit()  # type: ignore[attr-defined]
    assert not audit.errors
    assert not audit.fixes
    title = [one for one in section(hostile, "ENTITIES") if one.kind == "TEXT" and one.first(8) == "TITLE_BLOCK"]
    assert all(len(one.first(1)) <= 200 for one in title)


@given(TEXTS, st.floats(5, 120))
def test_a_text_is_held_to_its_room_however_wide_its_signs(words: str, room: float) -> None:
    made_to_fit = pressed(Text("NOTES", (0.0, 0.0), words), room)
    assert breadth(made_to_fit.words, made_to_fit.height) <= room or len(made_to_fit.words) <= 1
    assert made_to_fit.room == room


@given(TEXTS)
def test_a_text_with_room_enough_keeps_its_words(words: str) -> None:
    text = Text("NOTES", (0.0, 0.0), "Aluminium 6061-T6")
    assert fitted(text, 100).words == text.words
    assert len(fitted(Text("NOTES", (0.0, 0.0), words), 20).words) <= max(len(words), 1)


@given(TEXTS)
@settings(max_examples=300)
def test_no_code_of_dxf_is_left_in_a_text(words: str) -> None:
    # Codes of signs begin with two percent signs, codes of letters with a backslash, control signs with a caret: the
    # reference of DXF, from memory.
    left = coded(words.replace("\u00d8", "").replace("\u00b0", "").replace("\u00b1", ""))
    assert "%%" not in left
    assert "\\" not in left
    assert "^" not in left
    assert left.isprintable()


def test_the_signs_of_a_drawing_have_their_codes() -> None:
    assert coded("\u00d826 \u00b10.1 at 45\u00b0") == "%%c26 %%p0.1 at 45%%d"
