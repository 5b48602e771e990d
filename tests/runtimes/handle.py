"""Puts requests to the checker in whatever Python runs this.

    python3.11 tests/runtimes/handle.py < requests.jsonl > replies.jsonl

The lines are those of handle.mjs beside it.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from checker.core.api import handle

for line in sys.stdin:
    try:
        answer = {"reply": handle(json.loads(line))}
    except Exception as error:
        answer = {"raised": repr(error)}
    print(json.dumps(answer))
