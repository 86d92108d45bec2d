import pytest

from tests.reference.facts import KNOWN, facts


@pytest.mark.parametrize("topic", ["materials", "screws", "speeds", "threads"])
def test_every_fact_names_its_source_and_how_it_is_known(topic: str) -> None:
    for fact in facts(topic):
        assert fact.known in KNOWN, fact
        assert fact.source, fact
        assert 0 < fact.low <= fact.high, fact


def test_a_fact_allows_its_slack_and_no_more() -> None:
    steel = next(fact for fact in facts("materials") if (fact.key, fact.quantity) == ("steel-1018", "density"))
    assert steel.allows(7850e-9 * 1.005)
    assert not steel.allows(7850e-9 * 1.006)
    assert not steel.allows(7850e-9 * 0.994)
