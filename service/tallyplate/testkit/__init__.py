'''The conformance kit: whether a plugin keeps what every plate family and every cost module must keep.

Install `tallyplate[testkit]` beside your package and write a test file:

    from tallyplate.testkit import check_family, check_module

    test_tray = check_family("tray")
    test_nameplates = check_module("nameplates")

The text is the name of an installed entry point; or give the value and `name="tray"`. pytest shows a line a check, and
of a check that fails what was found, a counter-example, and what to do. A check that builds on one that fails is
skipped and says so, so that one mistake is told once; a check with nothing to hold a plugin to is skipped with the
reason. Each check gives the same verdict every time.

The plugin is installed beside all others with the demonstration's rate card and shop data. What these lack, the plugin
brings: `example_figures` and `example_rates` are its sections, and work centres that are new, as TOML:

    EXAMPLE_RATES = """
    [nameplates]
    each = "6.20 USD/piece"
    """

A family is tried on the plates that the examples of its spec make, on plates at the steps of the shop data, and on
`examples=({...}, ...)`, plates as a caller would send them, which must be priced. A cost module is tried on plates of
every installed family, on its `examples`, and on builds that no family has made yet.

Checks of both:

| check | what it holds |
|---|---|
| `installed`, `contract`, `name` | found by its name, which is snake_case and its own; written to this contract |
| `documented` | titles; a docstring on each struct; in specs a title a field, and examples of lengths that parse |
| `units`, `no_figures_in_text` | a figure's type carries its unit: no bare number, no text, no money in the shop data |
| `frozen` | structs that nobody can change, and that refuse unknown fields |
| `sections` | example sections that load, by dimension and range, with every work centre known |
| `reads_no_clock`, `draws_no_chance`, `reads_no_environment`, `touches_nothing_outside` | no call that reaches them |
| `keeps_nothing` | no global changes while it works |
| `says_the_same_again` | the same answer, to the last digit, in any order and between other questions |
| `says_the_same_elsewhere` | and in two other processes, each with other hashes, another time zone and language |
| `more_plates_never_cheaper`, `times_as_many_never_dearer`, `higher_rates_never_cheaper` | the laws of money |
| `work_of_holes` | lines of Python run: they may grow with rows, never with holes |

Of a family:

| check | what it holds |
|---|---|
| `examples` | the examples build, without an error among the findings; nothing but `Refusal` is raised |
| `sound` | sizes finite and not negative, a blank that holds the body, names that the shop knows, a mass |
| `priced` | every cost module prices it; no line takes money off; each can be multiplied again |
| `larger_never_cheaper`, `tighter_never_cheaper`, `marked_never_cheaper`, `more_holes_never_cheaper` | the laws |
| `same_beside_others` | a module that adds nothing changes nothing |
| `bad_specs` | each field left out, null, of another type, bare, zero, huge, unknown: refused by name, or priced |

Of a cost module:

| check | what it holds |
|---|---|
| `charges` | an item to read, quantities finite and not negative, for any build |
| `work_centers`, `own_rates` | time at known and declared centres; all other prices follow a figure of its section |
| `dimension` | quantities in their unit: hours rather than seconds, kg rather than g; lots that are declared |
| `reads_no_blank`, `reads_no_order` | what it promised not to look at changes nothing |
| `any_order_of_modules` | the order of earlier lines changes nothing |
| `lines_bear_out` | its lines multiply |
| `greater_never_cheaper` | a build with a larger blank, deeper, tighter, more marked never costs less by it |
| `more_holes_never_cheaper` | nor one with all the holes and some more |

What it cannot see: calls that C code makes, what C code remembers, and work that C code does in one call.
`tallyplate.testkit.strategies` has the hypothesis strategies that it draws from.
'''

from collections.abc import Callable, Iterable
from functools import cache
from typing import Any

from tallyplate.contract import CostModule, Family

__all__ = ["check_family", "check_module"]

# The kit itself is loaded when it is asked for: every pytest run loads this package for its plugin.


def check_family(
    family: str | Family, *, name: str = "", examples: Iterable[dict[str, Any]] = ()
) -> Callable[..., None]:
    """A pytest test of a family, one case a check: by the name of its entry point, or the value and its `name`.

    Each of `examples` is a plate that must be priced, as JSON. Raises `TypeError` for a value without a name.
    """
    from tallyplate.testkit.check import conformance  # noqa: PLC0415
    from tallyplate.testkit.families import CHECKS  # noqa: PLC0415
    from tallyplate.testkit.family_trial import FamilyTrial  # noqa: PLC0415
    from tallyplate.testkit.subject import subject  # noqa: PLC0415

    asked = subject(Family, family, name, tuple(examples))
    return conformance(CHECKS, cache(lambda: FamilyTrial(asked)))


def check_module(
    module: str | CostModule, *, name: str = "", examples: Iterable[dict[str, Any]] = ()
) -> Callable[..., None]:
    """A pytest test of a cost module, one case a check: by the name of its entry point, or the value and its `name`.

    Each of `examples` is a plate of an installed family, to be priced as well. Raises `TypeError` for a value without a
    name.
    """
    from tallyplate.testkit.check import conformance  # noqa: PLC0415
    from tallyplate.testkit.module_trial import ModuleTrial  # noqa: PLC0415
    from tallyplate.testkit.modules import CHECKS  # noqa: PLC0415
    from tallyplate.testkit.subject import subject  # noqa: PLC0415

    asked = subject(CostModule, module, name, tuple(examples))
    return conformance(CHECKS, cache(lambda: ModuleTrial(asked)))
