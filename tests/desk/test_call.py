"""A whole call by keyboard alone."""

import pytest
from playwright.sync_api import Page

from tests.desk.browsing import opened, priced
from tests.desk.call import SAID, whole_call


@pytest.mark.slow
def test_a_whole_call_is_played_by_keyboard_alone(page: Page, url: str) -> None:
    keys = whole_call(opened(page, url))
    assert len(keys.questions) > len(SAID)
    assert keys.strokes < 150
    assert priced(page)
    print(f"{len(keys.questions)} questions, {keys.strokes} keystrokes")
