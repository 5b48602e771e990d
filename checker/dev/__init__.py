"""What maintainers run: compile and lint the rules, write the reference pages, build the site. Never shipped."""

from __future__ import annotations

from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]  # of the checkout
