"""Compiles the rule packs right before a wheel is built, so that no wheel carries old rules or none."""

from __future__ import annotations

import subprocess
import sys
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface


class CompilePacks(BuildHookInterface):
    """Runs for a wheel that is shipped; an editable install reads what `make packs` left in the folder."""

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        if version == "editable":
            return
        subprocess.run([sys.executable, "-m", "checker.dev", "compile"], cwd=self.root, check=True)
