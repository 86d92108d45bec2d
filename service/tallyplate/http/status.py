"""Whether the service is alive and ready."""

from msgspec import Struct

from tallyplate.answers import Version
from tallyplate.reload import Current


class Ready(Struct, frozen=True):
    """Ready to price, and with which versions today; `problems` are those of newer data that were refused."""

    status: str
    rate_card: Version
    shop_data: Version
    problems: tuple[str, ...] = ()


def ready(current: Current) -> Ready:
    """The versions in force now; raises `Refusal` where none is, and then it is not ready."""
    installation = current.installation
    card, shop = installation.in_force(installation.today())
    return Ready("ready", Version(card.id, card.digest), Version(shop.id, shop.digest), current.problems)
