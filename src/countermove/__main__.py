"""`python -m countermove` is the command `countermove`."""

from countermove.cli import main

main()
