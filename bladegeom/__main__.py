"""``python -m bladegeom`` is the command line."""

import sys

from bladegeom.cli import main

if __name__ == "__main__":
    sys.exit(main())
