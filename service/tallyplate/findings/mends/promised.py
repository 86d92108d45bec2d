"""Proposals about tolerance and finish."""

from collections.abc import Iterator

from tallyplate.findings.finding import Case, Finding
from tallyplate.findings.growth import growth
from tallyplate.findings.mends.proposal import AtLeast, Proposal, one
from tallyplate.findings.mends.sizes import of_material


def for_tolerance(case: Case, finding: Finding) -> Iterator[Proposal]:
    """What the machine holds."""
    yield one("allow {0}", finding.pointer, AtLeast(case.shop.machine.holds))


def for_growth(case: Case, finding: Finding) -> Iterator[Proposal]:
    """A material that grows less, or a tolerance that lets it."""
    body, expansion = case.build.body, case.shop.materials[case.build.body.material].expansion
    longest = max(body.length, body.width, body.thickness)
    swing = case.shop.limits.temperature_swing or 0.0
    yield one("allow {0}", finding.pointer, AtLeast(growth(longest, expansion, swing)))
    most = case.build.position_tolerance / (longest * swing) if swing else 0.0
    yield from of_material(case, lambda material: most - material.expansion)


def for_finish(case: Case, finding: Finding) -> Iterator[Proposal]:
    """A finish that the material takes, a protective one before plain."""
    accepted = case.shop.materials[case.build.body.material].finishes
    for finish in sorted(accepted, key=lambda finish: finish == case.shop.usual.finish):
        yield one("finish it {0}", finding.pointer, finish)
