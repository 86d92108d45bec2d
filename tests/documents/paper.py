"""Whether this machine has what draws letters on paper; without it quotes are pages, XML and tables."""

import pytest

try:
    pass
except OSError:
    ON_PAPER = False
else:
    ON_PAPER = True

needs_paper = pytest.mark.skipif(not ON_PAPER, reason="needs Debian's libpango-1.0-0 and its like")
