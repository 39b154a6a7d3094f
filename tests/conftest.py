"""Settings that all tests share."""

from collections.abc import Iterator

import pytest
from hypothesis import settings

# How long one example takes says nothing on a busy machine; benchmarks measure time.
settings.register_profile("edgefinder", deadline=None)
settings.load_profile("edgefinder")


@pytest.fixture(autouse=True, scope="session")
def _own_list_elsewhere(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Keep the tests, and the programs that they start, from the tester's own list."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CONFIG_HOME", str(tmp_path_factory.mktemp("settings")))
        yield
