"""Whether the service is alive and ready."""

from msgspec import Struct

from tallyplate.answers import Version
from tallyplate.installation import Installation


class Ready(Struct, frozen=True):
    """Ready to price, and with which versions today."""

    status: str
    rate_card: Version
    shop_data: Version


def ready(installation: Installation) -> Ready:
    """The versions in force now; raises `Refusal` where none is, and then it is not ready."""
    card, shop = installation.in_force(installation.today())
    return Ready("ready", Version(card.id, card.digest), Version(shop.id, shop.digest))
