"""How hypothesis looks for counter-examples: freely on a desk, the same ones every time in CI."""

import os

from hypothesis import HealthCheck, settings

# Tests bring lxml, which openpyxl would prefer to the parser that the service's own dependencies give it.
os.environ["OPENPYXL_LXML"] = "False"

settings.register_profile(
    "desk",
    deadline=None,  # a slow machine is no counter-example
    max_examples=50,
    suppress_health_check=[HealthCheck.too_slow],
    print_blob=True,
)
settings.register_profile("ci", settings.get_profile("desk"), max_examples=15, derandomize=True, database=None)
settings.load_profile("ci" if os.environ.get("CI") else "desk")
