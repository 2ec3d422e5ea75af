"""What a person or a script types: one file per command.

In: words on the command line and a catalogue's folder. Out: plain words or one JSON value on
standard output, and an exit code. Commands parse, call one function of the packages that do the
work, and print; they know nothing of the site's host.
"""

from .group import main

__all__ = ["main"]
