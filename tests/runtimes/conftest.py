from __future__ import annotations

import pytest

from checker.core.api import handle
from tests.runtimes import batch


@pytest.fixture(scope="session")
def requests() -> batch.Batch:
    return batch.requests()


@pytest.fixture(scope="session")
def replies(requests: batch.Batch) -> dict[str, str]:
    """What the Python that runs the tests replies."""
    return {name: handle(text) for name, text in requests.items()}
