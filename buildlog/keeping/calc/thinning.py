"""Which backups stay: the last seven, then one a week for four weeks, then one a month for twelve months.

Common practice (grandfather, father, son), no single published source.
"""

from collections.abc import Iterable
from datetime import datetime

LAST, WEEKS, MONTHS = 7, 4, 12


def to_keep(stamps: Iterable[datetime], *, last: int = LAST, weeks: int = WEEKS, months: int = MONTHS) -> set[datetime]:
    """The stamps to keep. Of a week (ISO 8601, Monday first) or a month it is the newest that stays.

    Weeks and months are counted among those that have a backup at all, newest first, so that a winter without the
    shop running thins nothing out.
    """
    newest_first = sorted(set(stamps), reverse=True)
    kept = set(newest_first[:last])
    for key, limit in ((lambda at: at.isocalendar()[:2], weeks), (lambda at: (at.year, at.month), months)):
        newest: dict = {}
        for at in newest_first:
            newest.setdefault(key(at), at)
        kept |= set(list(newest.values())[:limit])
    return kept
