"""Where a person's own list of cloths and fold tools lies."""

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from edgefinder.classifier.own_list import OwnList


def own_list_path() -> Path:
    """Return the path of the list, whether it is there or not.

    It stands where the system keeps settings of programs: below ``XDG_CONFIG_HOME``
    where that is set.
    """
    from platformdirs import user_config_dir

    from edgefinder.classifier.own_list import LIST_NAME

    return Path(user_config_dir("edgefinder", appauthor=False)) / LIST_NAME


def own_list() -> "OwnList":
    """Read the person's own list.

    Raises
    ------
    EdgefinderError
        With every mistake in it.
    """
    from edgefinder.classifier.own_list import read_own_list

    return read_own_list(own_list_path())
