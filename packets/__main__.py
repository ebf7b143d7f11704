"""`python -m packets` is the command `packets`."""

import sys

from packets.cli.entry import main

if __name__ == "__main__":
    sys.exit(main())
