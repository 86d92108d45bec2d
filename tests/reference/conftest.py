import pytest

import tallyplate
from tallyplate.contract import ShopData
from tallyplate.installation import Installation
from tallyplate.rates.card import RateCard


@pytest.fixture(scope="session")
def installation() -> Installation:
    return tallyplate.load()


@pytest.fixture(scope="session")
def shop(installation: Installation) -> ShopData:
    """The demonstration's shop data, whose physical figures claim published sources."""
    return installation.shops[0]


@pytest.fixture(scope="session")
def card(installation: Installation) -> RateCard:
    return installation.cards[0]
