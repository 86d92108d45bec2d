"""The page's arithmetic, from the figures that it says were measured. The figures themselves are of one machine."""

from tests.bench.capacity import BUSY, LOADS, MONTH, PRICE, core_hours, replicas
from tests.deploy.manifests import DEPLOY, container, of_kind

PAGE = (DEPLOY / "capacity.md").read_text(encoding="utf-8")


def _table(first_cell: str) -> dict[str, list[str]]:
    """The rows of a table, by their first cell."""
    _, _, after = PAGE.partition(f"| {first_cell} |")
    lines = after.partition("\n\n")[0].splitlines()[2:]
    rows = [[cell.strip() for cell in line.strip("|").split("|")] for line in lines]
    return {name: cells for name, *cells in rows}


PER_CORE = {name: float(cells[0]) for name, cells in _table("request").items()}


def test_the_replicas_and_the_core_hours_follow_from_what_was_measured() -> None:
    expected = {
        name: [*(f"{replicas(load, per_core):,}" for load in LOADS), f"{core_hours(1e6, per_core):.2f}"]
        for name, per_core in PER_CORE.items()
    }
    assert len(expected) == 2
    assert _table("replicas for") == expected


def test_the_costs_follow_from_the_invented_price() -> None:
    assert f"invented price of {PRICE} USD" in PAGE
    assert _table("cost of") == {
        name: [
            f"{core_hours(1e6, per_core) * PRICE:.2f} USD",
            f"{replicas(LOADS[0], per_core) * MONTH * PRICE:.0f} USD",
        ]
        for name, per_core in PER_CORE.items()
    }


def test_the_headroom_and_the_limits_are_the_manifests() -> None:
    autoscaler = of_kind("HorizontalPodAutoscaler")["spec"]
    assert autoscaler["metrics"][0]["resource"]["target"]["averageUtilization"] == BUSY * 100
    assert f"`maxReplicas` is {autoscaler['maxReplicas']}." in PAGE
    requests = container()["resources"]["requests"]
    assert requests["cpu"] == "1"
    assert f"{requests['memory'].removesuffix('Mi')} MiB" in PAGE


def test_replicas_by_hand() -> None:
    # 250 prices a core, 60 % busy: 150 a replica, so 1,000 need 6.67.
    assert replicas(1_000, 250) == 7
    assert replicas(10, 250) == 2
    # A million at 150 a second are 6,666.7 s.
    assert round(core_hours(1e6, 250), 3) == 1.852
