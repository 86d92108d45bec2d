"""Days without a price: a rate card that begins before the shop data, or after them."""

from datetime import date
from pathlib import Path

import pytest

from tallyplate import proof
from tallyplate.installation import compose
from tallyplate.rates.load import resolved_folder
from tests.plates import installation
from tests.rates.folder import CARD, good, merged, write, write_data


def gaps(folder: Path) -> list[str]:
    here = installation()
    installed = compose(here.families, here.modules, folder)
    return list(proof.gaps(installed.cards, installed.shops, resolved_folder(folder / "shop_data")))


@pytest.mark.parametrize(
    ("card", "shop", "file", "says"),
    [
        (
            date(2026, 1, 1),
            date(2026, 3, 1),
            "shop_data/shop.toml",
            "from 2026-01-01 to 2026-02-28 there is rate card our-card and no shop data",
        ),
        (
            date(2026, 1, 2),
            date(2026, 1, 1),
            "rate_cards/card.toml",
            "from 2026-01-01 to 2026-01-01 there is shop data our-shop and no rate card",
        ),
    ],
)
def test_days_with_one_and_not_the_other_are_said_at_the_file_that_begins_too_late(
    tmp_path: Path, card: date, shop: date, file: str, says: str
) -> None:
    write_data(tmp_path, {"id": "our-card", "effective_from": card}, {"id": "our-shop", "effective_from": shop})
    assert gaps(tmp_path) == [f"{file}:2: effective_from: {says}, hence no price; accepted: 2026-01-01"]


def test_a_card_that_is_replaced_before_there_are_shop_data_is_named_too(tmp_path: Path) -> None:
    write_data(tmp_path, shop={"effective_from": date(2026, 3, 1)})
    later = {"id": "later", "effective_from": date(2026, 2, 1)}
    write(tmp_path / "rate_cards" / "later.toml", merged(good(CARD), later))
    (told,) = gaps(tmp_path)
    assert "there is rate card harrow-pell-2026-01, later and no shop data" in told


def test_a_later_card_leaves_no_gap_for_the_one_before_lasts_until_then(tmp_path: Path) -> None:
    write_data(tmp_path)
    later = {"id": "later", "effective_from": date(2031, 2, 1)}
    write(tmp_path / "rate_cards" / "later.toml", merged(good(CARD), later))
    assert gaps(tmp_path) == []
