"""Keys by the code points that WebDriver (W3C) gives them: keyboard actions."""

from typing import Final

NO_KEY: Final = "\ue000"
"""Lets go of the keys that are held, where a text is typed into a field."""
TAB: Final = "\ue004"
ENTER: Final = "\ue007"
SHIFT: Final = "\ue008"
CONTROL: Final = "\ue009"
ESCAPE: Final = "\ue00c"
SPACE: Final = " "
END: Final = "\ue010"
HOME: Final = "\ue011"
LEFT: Final = "\ue012"
UP: Final = "\ue013"
RIGHT: Final = "\ue014"
DOWN: Final = "\ue015"
HELD: Final = frozenset({SHIFT, CONTROL})
"""Keys that do nothing alone."""
