"""What Chromium, the second reader, makes of SVG files that others drew."""

import math
import zlib
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

import numpy as np
import pytest
from conformance.collection import FILES, name_of
from conformance.curves import Matrix, Subpath, path_data, total_length
from conformance.second_reader import subpaths

from edgefinder.constants import JOIN_TOLERANCE_MM
from edgefinder.geometry.arclength import lengths
from edgefinder.importers.drawing import DrawnLine
from edgefinder.importers.svg.reading import read_svg

if TYPE_CHECKING:
    from conformance.browser import Browser, Page, Shape
