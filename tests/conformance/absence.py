"""What becomes of tests whose browser is not there."""

import os
from typing import NoReturn

import pytest


def go_without(reason: str) -> NoReturn:
    """Skip a test; but fail it where a browser is promised, which is in CI."""
    if os.environ.get("CI") == "true":
        pytest.fail(reason)
    pytest.skip(reason)
