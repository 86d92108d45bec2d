"""Finish against material."""

from collections.abc import Iterator

from tallyplate.findings.finding import PRACTICE, Case, Finding, Severity


def check(case: Case) -> Iterator[Finding]:
    """A finish that the material does not take, such as anodizing on steel."""
    material = case.shop.materials[case.build.body.material]
    if case.build.finish not in material.finishes:
        yield Finding(
            "finish-material",
            Severity.ERROR,
            "/plate/finish",
            f"{material.title} is not finished {case.build.finish}; accepted: {', '.join(material.finishes)}",
            PRACTICE,
        )
