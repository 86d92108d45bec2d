"""A whole call, played by keyboard alone: `python -m tests.desk.call` counts its keystrokes and seconds."""

import re
import time
from dataclasses import dataclass, field

from playwright.sync_api import Page, expect

from tests.desk.browsing import asked, becomes, chromium, opened, priced
from tests.serving import serving

SAID = {
    "What kind of plate": "rect",
    "which material": "6061",
    "How long is the plate": "27 9/16 in",
    "How wide is the plate": "450",
    "How many plates": "2",
    "How far apart are the holes": "35",
    "Which screw clamps": "M12",
}
"""What the customer says when a question begins so; to every other the answer is as usual."""


@dataclass
class Keyboard:
    """A keyboard that counts."""

    page: Page
    strokes: int = 0
    questions: list[str] = field(default_factory=list)

    def type(self, words: str) -> None:
        self.page.keyboard.type(words)
        self.strokes += len(words)

    def press(self, key: str, times: int = 1) -> None:
        for _ in range(times):
            self.page.keyboard.press(key)
        self.strokes += times


def answer_one(keys: Keyboard) -> bool:
    """Answer the question that leads; false where nothing is open any more."""
    expect(keys.page.locator("#talk:not(.unsure)")).to_be_visible()
    question = asked(keys.page)
    if question.startswith("That is all"):
        return False
    keys.questions.append(question)
    words = next((said for begins, said in SAID.items() if begins.lower() in question.lower()), "")
    keys.type(words)
    keys.press("Enter")
    expect(keys.page.locator("#question")).not_to_have_text(question)
    return True


def whole_call(page: Page) -> Keyboard:
    """From the greeting to a plate at a figure, with the last answer undone and the view of its trade-offs opened."""
    keys = Keyboard(page)
    keys.press("Tab")
    keys.press("Enter")
    expect(page.locator("#typed")).to_be_focused()
    for _ in range(40):
        if not answer_one(keys):
            break
    becomes(page, "#between", re.compile("This is the figure"))
    priced(page)
    keys.press("Control+z")
    becomes(page, "#between", re.compile("Still between|This is the figure"))
    keys.press("Control+Shift+z")
    becomes(page, "#between", re.compile("This is the figure"))
    return keys


def main() -> None:
    """Play it on a service of its own, and print what it took."""
    with serving() as url, chromium() as browser:
        page = opened(browser.new_page(), url)
        started = time.perf_counter()
        keys = whole_call(page)
        seconds = time.perf_counter() - started
        for question in keys.questions:
            print(f"  {question}")
        price = priced(page)
    print(f"{len(keys.questions)} questions, {keys.strokes} keystrokes, {seconds:.1f} s: {price}")


if __name__ == "__main__":
    main()
