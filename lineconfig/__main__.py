"""`python -m lineconfig` is the `lineconfig` command."""

import sys

from lineconfig.cli import main

if __name__ == "__main__":
    sys.exit(main())
