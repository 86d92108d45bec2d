"""What a wrong plugin is: the plugin, the check meant to catch it, and what its author must read."""

from typing import Any, NamedTuple

from tallyplate.contract import CostModule, Family
from tallyplate.testkit import families, modules
from tallyplate.testkit.check import Check, Verdict, verdict
from tallyplate.testkit.family_trial import FamilyTrial
from tallyplate.testkit.module_trial import ModuleTrial
from tallyplate.testkit.subject import Subject
from tallyplate.testkit.trial import Trial


class Wrong(NamedTuple):
    """A plugin that breaks one check; `says` is a regular expression on the message."""

    plugin: Family | CostModule
    check: str
    says: str
    name: str = ""


def trial(plugin: Family | CostModule, name: str, examples: tuple[dict[str, Any], ...] = ()) -> Trial:
    """A plugin on trial by a name."""
    if isinstance(plugin, Family):
        return FamilyTrial(Subject(Family, name, plugin, examples))
    return ModuleTrial(Subject(CostModule, name, plugin, examples))


def checks(plugin: Family | CostModule) -> tuple[Check, ...]:
    """The checks that apply to a plugin."""
    return families.CHECKS if isinstance(plugin, Family) else modules.CHECKS


def verdicts(plugin: Family | CostModule, on: Trial, but: frozenset[str] = frozenset()) -> dict[str, Verdict]:
    """What every check but some says, by its name."""
    every = checks(plugin)
    return {check.name: verdict(every, check.name, on) for check in every if check.name not in but}
