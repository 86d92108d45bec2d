"""Whether the service is alive and ready."""

from msgspec import UNSET, Struct, UnsetType

from tallyplate.access.scopes import Caller, Scope
from tallyplate.answers import Version
from tallyplate.reload import Current


class Ready(Struct, frozen=True):
    """Ready to price, and with which versions today.

    `refused` says whether newer data were refused; `problems` says why, to callers with the scope `rates`.
    """

    status: str
    rate_card: Version
    shop_data: Version
    refused: bool = False
    problems: tuple[str, ...] | UnsetType = UNSET


def ready(current: Current, caller: Caller) -> Ready:
    """The versions in force now; raises `Refusal` where none is, and then it is not ready."""
    installation = current.installation
    card, shop = installation.in_force(installation.today())
    problems = current.problems if caller.may(Scope.RATES) else UNSET
    versions = Version(card.id, card.digest), Version(shop.id, shop.digest)
    return Ready("ready", *versions, bool(current.problems), problems)
