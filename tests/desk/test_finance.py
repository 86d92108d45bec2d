"""Finance's view, for keys that may see rates; and keys themselves."""

import json
import re
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.desk.browsing import PLATE, becomes, opened, priced
from tests.serving import COMMAND, serving

ORDER = {"plate": {"family": "rectangular", "length": "700 mm", "width": "450 mm", "material": "al-6061-t6"}}
NEWER = 'id = "harrow-pell-2026-02"\ninherits = "harrow-pell-2026-01"\neffective_from = 2026-01-02\n\n'


@pytest.fixture(scope="module")
def access(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("access") / "access.toml"


@pytest.fixture(scope="module")
def keys(access: Path) -> dict[str, str]:
    """A key that may see prices alone, and one that may see everything that finance sees."""
    found = {}
    for name, scopes in (("shop", ["price"]), ("finance", ["price", "cost", "rates"])):
        command = [COMMAND, "key", "new", name, "--access", str(access), "--scopes", *scopes]
        told = subprocess.run(command, capture_output=True, text=True, check=True).stdout
        found[name] = next(word for word in told.split() if word.startswith("tpk_"))
    return found


@pytest.fixture(scope="module")
def guarded(access: Path, keys: dict[str, str], options: list[str]) -> Iterator[str]:
    with serving(options=["--access", str(access), *options]) as found:
        yield found


def use(page: Page, key: str) -> None:
    if not page.locator("#key-panel").get_attribute("open"):
        page.locator("#key-panel summary").click()
    page.locator("#key").fill(key)
    page.get_by_role("button", name="Use it").click()


def test_without_a_key_one_is_asked_for_and_then_the_call_goes_on(
    page: Page, guarded: str, keys: dict[str, str]
) -> None:
    page.goto(f"{guarded}/#/plate/family=round")
    becomes(page, "#trouble", "key")
    use(page, keys["shop"])
    becomes(page, "#each", "supposing")
    expect(page.locator("#trouble")).to_be_hidden()
    assert keys["shop"] not in page.url
    assert page.evaluate("JSON.stringify(localStorage)").count("tpk_") == 0


def test_a_key_that_is_refused_is_said_at_its_field_and_nothing_typed_is_lost(page: Page, guarded: str) -> None:
    page.goto(f"{guarded}/#/plate/family=round&/quantity=~7")
    use(page, "tpk_wrong")
    becomes(page, "#key-says", "not accepted")
    expect(page.locator("#key")).to_have_attribute("aria-invalid", "true")
    becomes(page, "#said", "7")


def test_a_key_for_prices_sees_selling_lines_and_no_finance(page: Page, guarded: str, keys: dict[str, str]) -> None:
    page.goto(f"{guarded}/")
    use(page, keys["shop"])
    expect(page.locator("#choices li").first).to_be_visible()
    opened(page, guarded, **PLATE)
    expect(page.get_by_role("tab", name="Finance")).to_have_count(0)
    expect(page.locator(".lines thead")).not_to_contain_text("Basis")
    use(page, keys["finance"])
    expect(page.locator(".lines thead")).to_contain_text("Basis")
    expect(page.get_by_role("tab", name="Finance")).to_be_visible()
    page.locator("#key-panel summary").click()
    becomes(page, "#key-says", "finance allows")


def test_finance_sees_the_card_in_force_and_what_it_changed(page: Page, options: list[str], tmp_path: Path) -> None:
    folder = tmp_path / "data"
    for kind in ("rate_cards", "shop_data"):
        (folder / kind).mkdir(parents=True)
        for file in Path("plugins/tallyplate_plugins/data", kind).glob("*.toml"):
            (folder / kind / file.name).write_bytes(file.read_bytes())
    (folder / "rate_cards" / "newer.toml").write_text(f'{NEWER}[work_centers]\nmill = "101 USD/h"\n# end\n')
    with serving("--data", str(folder), options=options) as url:
        opened(page, url, **PLATE, view="finance")
        cards = page.get_by_role("region", name="Rate cards")
        expect(cards.locator("tbody tr").filter(has_text="in force")).to_contain_text("harrow-pell-2026-02")
        expect(cards.locator("tbody tr").filter(has_text="past")).to_contain_text("harrow-pell-2026-01")
        figures = page.get_by_role("region", name="What the card changed")
        expect(figures.locator("tbody tr")).to_have_count(1)
        expect(figures.locator("tbody tr")).to_have_text(
            re.compile(r"work_centers\.mill\s*96 USD/h\s*101 USD/h\s*\+5\.21")
        )
        since = page.get_by_role("region", name="Since the card before")
        expect(since.locator("tbody")).to_contain_text("milling faces")
        expect(since.locator("tfoot")).to_contain_text(priced(page))


def test_a_draft_card_is_tried_on_a_portfolio_file(page: Page, url: str, draft: Path, tmp_path: Path) -> None:
    orders = tmp_path / "orders.ndjson"
    orders.write_text("\n".join(json.dumps({**ORDER, "quantity": count}) for count in (1, 2, 5)))
    opened(page, url, **PLATE, view="finance")
    page.get_by_label("Portfolio").set_input_files(orders)
    page.get_by_label("Draft card").set_input_files(draft)
    page.get_by_role("button", name="Try it").click()
    becomes(page, "#view-finance .verdict", "3 of 3 orders: +")
    expect(page.get_by_role("region", name="By module")).to_contain_text("holes")
    expect(page.get_by_role("region", name="Orders that move most").locator("tbody tr")).to_have_count(3)


def test_a_draft_card_with_a_mistake_is_refused_beside_its_field(page: Page, url: str, tmp_path: Path) -> None:
    orders, draft = tmp_path / "orders.json", tmp_path / "draft.toml"
    orders.write_text(json.dumps([ORDER]))
    draft.write_text(
        'id = "draft"\ninherits = "harrow-pell-2026-01"\neffective_from = 2027-01-01\n\n'
        '[work_centers]\nmill = "110 USD/kg"\n# end\n'
    )
    opened(page, url, **PLATE, view="finance")
    page.get_by_label("Portfolio").set_input_files(orders)
    page.get_by_label("Draft card").set_input_files(draft)
    page.get_by_role("button", name="Try it").click()
    becomes(page, "#draft-wrong", "mill")
