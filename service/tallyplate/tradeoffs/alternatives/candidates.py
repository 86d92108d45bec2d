"""Every combination that can be made, with its measures and a price that it cannot be below."""

from collections.abc import Callable, Iterable, Iterator
from itertools import repeat
from operator import itemgetter
from typing import Any, Final

from msgspec import Struct
from msgspec.structs import replace

from tallyplate.contract import Build
from tallyplate.pricing import PluginFailure
from tallyplate.tradeoffs.alternatives.bounds import HIDDEN, Bound, Bounds
from tallyplate.tradeoffs.alternatives.measures import Measures, positions, stiffness
from tallyplate.tradeoffs.alternatives.parts import Across, Part, checks, makers, unsoundness
from tallyplate.tradeoffs.alternatives.plate import HANDED_ON, Options, Plate, Slot
from tallyplate.tradeoffs.alternatives.pricer import Pricer
from tallyplate.tradeoffs.alternatives.remembered import Remembered


class Candidate(Struct, frozen=True, order=True, gc=False):
    """The least in minor units that a combination can cost, its number, and its plate with an option of each slot."""

    bound: float
    number: int
    plate: Plate
    options: Options

    @property
    def build(self) -> Build:
        """What the shop would make."""
        return self.plate.chosen(self.options)


class Portion:
    """The lines of some modules that read the same slots, for one option of each of those.

    `kind` is a number that orders have in common which have the same lines of these modules, whatever their amounts.
    """

    __slots__ = ("_weighed", "kind", "parts", "places")

    def __init__(self, places: tuple[int, ...], parts: tuple[Part, ...], kind: int) -> None:
        self.places, self.parts, self.kind = places, parts, kind
        self._weighed: dict[Bound, float] = {}

    def weighed(self, bound: Bound) -> float:
        """What the lines come to by the weights of a bound."""
        known = self._weighed.get(bound)
        if known is None:
            known = self._weighed[bound] = sum(
                amount * weight
                for place, part in zip(self.places, self.parts, strict=True)
                for amount, weight in zip(part.amounts, bound.weights[place], strict=True)
            )
        return known


UNSEEN: Final = dict.fromkeys(HANDED_ON, HIDDEN)
"""One bound serves for all options of the slots, and so may depend on none of them."""

Chosen = tuple[Portion, ...]
"""All lines of a plate on one blank, with some options."""


class Candidates:
    """Finds the candidates of one plate after the other, and remembers what modules and checks have said."""

    def __init__(self, pricer: Pricer) -> None:
        self._pricer, self._unsound = pricer, unsoundness(pricer)
        self._checks, self._makers, self._bounds = checks(pricer), makers(pricer), Bounds(pricer)
        self._portions: dict[Any, Portion] = {}
        self._kinds: dict[Any, int] = {}
        self._numbers: dict[tuple[Slot, ...], dict[Options, int]] = {}
        self._by_kinds: dict[tuple[int, ...], Remembered[Bound]] = {}

    def of(self, plate: Plate) -> Iterator[tuple[Measures, Candidate]]:
        """The combinations of a plate that can be made."""
        numbers = self._numbers.get(plate.slots)
        if numbers is None:
            numbers = self._numbers[plate.slots] = plate.numbers()
        sound = self._sound(plate, list(numbers))
        if not sound:
            return
        cuts = list(self._cuts(plate))
        measures = self._measures(plate)
        known: dict[tuple[Chosen, ...], float] = {}
        for options, *on_blanks in zip(sound, *(self._lines(made, sound) for _, made in cuts), strict=True):
            key = tuple(on_blanks)
            bound = known.get(key)
            if bound is None:
                bound = min([self._bound(build, chosen) for (build, _), chosen in zip(cuts, on_blanks, strict=True)])
                known[key] = bound
            yield measures(options), Candidate(bound, plate.number + numbers[options], plate, options)

    def _measures(self, plate: Plate) -> Callable[[Options], Measures]:
        """The measures of a plate by its options, of which only a tolerance counts."""
        many, stiff = positions(plate.build), stiffness(plate.build, self._pricer.shop)
        for place, slot in enumerate(plate.slots):
            if slot.name == "position_tolerance":
                every = [Measures(many, float(value), stiff) for value, _ in slot.options]
                return lambda options: every[options[place]]
        only = Measures(many, float(plate.build.position_tolerance), stiff)
        return lambda _: only

    def _sound(self, plate: Plate, sound: list[Options]) -> list[Options]:
        """Those of some options with which no check finds an error; raises `PluginFailure` for a build that is none."""
        wrong = next(filter(None, self._unsound(plate).answers.values()), "")
        if wrong:
            raise PluginFailure(self._pricer.name, wrong, "family")
        for check in self._checks:
            found = check(plate)
            if any(found.answers.values()):
                read = _only(found.slots, sound)
                sound = [options for options, one in zip(sound, read, strict=True) if not found.answers[one]]
            if not sound:
                break
        return sound

    def _cuts(self, plate: Plate) -> Iterator[tuple[Build, list[Across[Part]]]]:
        """The build on each blank, its slots unseen, with what is charged for it.

        Modules that promise not to read the blank are asked for the first, as the engine asks them.
        """
        alike: dict[int, Across[Part]] = {}
        for blank in (plate.build.blank, *plate.build.other_blanks):
            cut = replace(plate, build=replace(plate.build, blank=blank, other_blanks=()))
            made = []
            for place, (module, charged) in enumerate(self._makers):
                found = alike.get(place) or charged(cut)
                if not module.reads_blank:
                    alike[place] = found
                made.append(found)
            yield replace(cut.build, **UNSEEN), made

    def _lines(self, made: list[Across[Part]], sound: list[Options]) -> Iterator[Chosen]:
        """What modules charge with each of some options, put together by the slots that they read."""
        columns = []
        for slots in dict.fromkeys(one.slots for one in made):
            places = tuple(place for place, one in enumerate(made) if one.slots == slots)
            portions = {
                options: self._portion(places, tuple([made[place].answers[options] for place in places]))
                for options in made[places[0]].answers
            }
            columns.append([portions[options] for options in _only(slots, sound)])
        return zip(*columns, strict=True)

    def _portion(self, places: tuple[int, ...], parts: tuple[Part, ...]) -> Portion:
        """One and the same portion for the same parts; it keeps them, so that no other part has the identity of one."""
        key = places, tuple(map(id, parts))
        if key not in self._portions:
            lines = places, tuple([part.centers for part in parts])
            self._portions[key] = Portion(places, parts, self._kinds.setdefault(lines, len(self._kinds)))
        return self._portions[key]

    def _bound(self, build: Build, chosen: Chosen) -> float:
        """The least that an order of a build with some lines comes to."""
        kinds = tuple([portion.kind for portion in chosen])
        by_build = self._by_kinds.get(kinds) or self._found(kinds, chosen)
        bound = by_build(build)
        return sum([portion.weighed(bound) for portion in chosen], bound.rest)

    def _found(self, kinds: tuple[int, ...], chosen: Chosen) -> Remembered[Bound]:
        """The bounds of orders with the lines of some portions."""
        centers = {
            place: part.centers for portion in chosen for place, part in zip(portion.places, portion.parts, strict=True)
        }
        found = self._bounds.of(tuple(centers[place] for place in range(len(centers))))
        self._by_kinds[kinds] = found
        return found


def _only(slots: tuple[int, ...], sound: list[Options]) -> Iterable[Options]:
    """The options in some slots alone."""
    if len(slots) == 1:
        (slot,) = slots
        return [(options[slot],) for options in sound]
    return map(itemgetter(*slots), sound) if slots else repeat((), len(sound))
