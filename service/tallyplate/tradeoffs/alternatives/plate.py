"""A plate with slots: one build, and what may stand in those of its fields that its family did not look at."""

from itertools import product
from typing import Any, Final

from msgspec import Struct
from msgspec.structs import replace

from tallyplate.contract import Build

HANDED_ON: Final = ("finish", "position_tolerance", "flatness")
"""Fields that every spec and every build have, and that have nothing to do with geometry."""


Options = tuple[int, ...]
"""Places of options, one for each of some slots of a plate."""


class Slot(Struct, frozen=True, eq=False):
    """A field of a build that was handed on, and what may stand there: each value with its share of the number.

    Compared by identity: plates share their slots.
    """

    name: str
    options: tuple[tuple[Any, int], ...]


class Plate(Struct, frozen=True):
    """A build, as made with the first option of each slot, and the number of the combination without those."""

    build: Build
    slots: tuple[Slot, ...]
    number: int

    def numbers(self) -> dict[Options, int]:
        """All options of the slots, with what each adds to the number."""
        every = product(*(range(len(slot.options)) for slot in self.slots))
        return {
            options: sum(slot.options[option][1] for slot, option in zip(self.slots, options, strict=True))
            for options in every
        }

    def chosen(self, options: Options, slots: tuple[int, ...] | None = None) -> Build:
        """The build with an option in each slot, or in those at some places."""
        places = range(len(self.slots)) if slots is None else slots
        chosen = ((self.slots[place], option) for place, option in zip(places, options, strict=True))
        values = {slot.name: slot.options[option][0] for slot, option in chosen}
        return replace(self.build, **values) if values else self.build
