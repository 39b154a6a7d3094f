"""Run the command line as ``python -m edgefinder``."""

from edgefinder.cli.main import main

if __name__ == "__main__":
    main()
