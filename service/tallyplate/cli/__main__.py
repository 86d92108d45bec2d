"""`python -m tallyplate.cli`."""

import sys

from tallyplate.cli.main import main

if __name__ == "__main__":
    sys.exit(main())
