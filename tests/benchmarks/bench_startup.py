"""Compare the start of the program with the libraries that it must load.

Run as ``python tests/benchmarks/bench_startup.py``. Every figure is the CPU time of a
process of its own, user and system together, the best of several; the commands take
turns, so that a busy machine slows all of them. Ratios are what counts.
"""

import resource
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Final

ROUNDS: Final = 9
HELP_GOAL: Final = 1.25
"""Times the import of click, at most."""

DEMO: Final = Path(__file__).resolve().parents[2] / "fixtures" / "demo"
# As the installed script does: import the command and call it.
ENTRY: Final = (
    "import sys; from edgefinder.cli.main import main; "
    "main(sys.argv[1:], prog_name='edgefinder')"
)
WITHOUT_SCIPY: Final = (
    # svgpathtools falls back on itself where scipy is not there.
    "import sys; sys.modules['scipy'] = None; sys.modules['scipy.integrate'] = None; "
)
LIBRARIES: Final = "import click, numpy, shapely, svgpathtools"

COMMANDS: Final[dict[str, Sequence[str]]] = {
    "python -c pass": ("-c", "pass"),
    "import click": ("-c", "import click"),
    "edgefinder --help": ("-c", ENTRY, "--help"),
    LIBRARIES: ("-c", LIBRARIES),
    f"{LIBRARIES}, scipy kept out": ("-c", WITHOUT_SCIPY + LIBRARIES),
    "edgefinder schedule orchard-apron.toml": (
        "-c",
        ENTRY,
        "schedule",
        str(DEMO / "orchard-apron.toml"),
    ),
}


def cpu_seconds(arguments: Sequence[str]) -> float:
    """Run Python with arguments, and return the CPU time that it took."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(  # noqa: S603 - this interpreter, our own code
        [sys.executable, *arguments], stdout=subprocess.DEVNULL, check=True
    )
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return (after.ru_utime - before.ru_utime) + (after.ru_stime - before.ru_stime)


def main() -> None:
    """Take turns, and print the best of each with the ratios."""
    best = dict.fromkeys(COMMANDS, float("inf"))
    for _ in range(ROUNDS):
        for name, arguments in COMMANDS.items():
            best[name] = min(best[name], cpu_seconds(arguments))
    for name, seconds in best.items():
        print(f"{1000 * seconds:6.0f} ms  {name}")
    bare, click, shown, with_scipy, without, schedule = best.values()
    print(f"edgefinder --help: {shown / click:.2f} x import click (goal {HELP_GOAL})")
    print(
        f"  beyond the interpreter: {shown - bare:.3f} s against {click - bare:.3f} s"
    )
    print(f"schedule of the demo: {schedule / with_scipy:.2f} x its libraries")
    print(f"  {schedule / without:.2f} x its libraries with scipy kept out")


if __name__ == "__main__":
    main()
