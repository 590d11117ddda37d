"""Measuring what a keystroke costs, against the least it could cost. Called by the bench command.

keystrokes(count)   what people type, letter by letter, from the names of this very shop
raw(text)           the plain question to the index alone: trigrams, ranked by the index itself, twenty rows
"""

import random
from collections.abc import Iterator

from django.db import connection

from .backends import INDEX
from .calc.alike import table
from .calc.fold import words
from .calc.query import parse
from .models import FindDocument


def keystrokes(count: int, seed: int = 1) -> Iterator[str]:
    """`count` texts as they stand in the box while names, numbers and addresses are typed; three letters or more.

    One in ten has two neighbouring letters swapped.
    """
    choose = random.Random(seed)  # noqa: S311, the same shop must give the same questions
    last = FindDocument.objects.order_by("-pk").values_list("pk", flat=True).first() or 0
    given = 0
    while last and given < count:
        row = FindDocument.objects.filter(pk__gte=choose.randint(1, last)).order_by("pk").first()
        source = choose.choice([row.name, row.name, row.name, row.numbers, row.code])
        picked = [word for word in source.split() if word != "|"][:2]
        text = " ".join(picked)
        if choose.random() < 0.1 and len(text) > 5:
            text = text[:2] + text[3] + text[2] + text[4:]
        for end in range(3, len(text) + 1):
            if given < count:
                given += 1
                yield text[:end]


def raw(text: str) -> list[tuple]:
    """The floor: the typed words as they are, put to the index once."""
    asked = [word for word in words(text) if len(word) > 2]
    if not asked:
        asked = [form for word in parse(text, table()).words for form in word.forms if len(form) > 2]
    match = " AND ".join(f'"{word}"' for word in asked) or '"   "'
    with connection.cursor() as cursor:
        cursor.execute(
            f"SELECT rowid, rank FROM {INDEX} WHERE {INDEX} MATCH %s ORDER BY rank LIMIT 20",  # noqa: S608
            [match],
        )
        return cursor.fetchall()
