"""Which day it is. In: the clock, or `SOURCE_DATE_EPOCH`. Out: a day. Nothing else asks the clock.

`SOURCE_DATE_EPOCH` holds seconds since 1970-01-01 in UTC, in plain digits; builds and tests set it,
so that what depends on the day comes out the same whenever it is made. Source: Reproducible Builds
project, "SOURCE_DATE_EPOCH specification", version 1.1 (from memory).
"""

from __future__ import annotations

import datetime as dt
import os

SETS_IT = "SOURCE_DATE_EPOCH"
DAY_SECONDS = 86_400
FIRST = dt.date(1970, 1, 1)
LAST = (dt.date.max - FIRST).days
MOST_DIGITS = 12


class NoDay(RuntimeError):
    """The day was set to what is no day. Not a `ValueError`: no record is at fault."""


def today() -> dt.date:
    """The day set by the environment, else the clock's, where the computer stands.

    Raises `NoDay` where what is set is no whole number of seconds, or beyond the year 9999.
    """
    given = os.environ.get(SETS_IT)
    if not given:
        return dt.date.today()
    digits = given.isascii() and given.isdecimal() and len(given) <= MOST_DIGITS
    days = int(given) // DAY_SECONDS if digits else LAST + 1
    if days > LAST:
        raise NoDay(f"{SETS_IT} must be seconds since 1970, in digits, not {given[:40]!r}")
    return FIRST + dt.timedelta(days=days)
