"""`python -m checker.cli` does what `spareway` does."""

from __future__ import annotations

import sys

from checker.cli.main import main

sys.exit(main())
