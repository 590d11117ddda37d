"""What strangers read of a shared story: what an owner has let them read, as far as it still stands.

The story is told anew each time, so that what is kept out of public is gone at once. What came or changed since, by
whatever way (a line put in, other words in the log, a photo, the name of a task), waits until an owner has seen it.
"""

import dataclasses
import hashlib
import sqlite3
from collections.abc import Collection
from contextlib import closing
from pathlib import Path

from .models import Story
from .told import Block, Line, Pair, Picture, Told, without_empty


def _mark(*said: str) -> str:
    """22 characters that stand for these words."""
    return hashlib.sha256("\0".join(said).encode()).hexdigest()[:22]


def _of_picture(picture: Picture) -> str:
    return _mark("picture", picture.photo, picture.alt, picture.caption)


def _of_block(block: Block) -> str:
    match block:
        case Line():
            return _mark("line", block.kind, block.text, block.size, block.who)
        case Pair():
            return _mark("pair", block.text, _of_picture(block.before), _of_picture(block.after))
    return _mark(block.shape, block.text)


def _of_head(told: Told) -> tuple[str, str]:
    return _mark("title", told.title), _mark("build", told.build)


def marks(told: Told) -> dict[str, str]:
    """One for everything in it that can be read or seen, with the words for it."""
    found = dict(zip(_of_head(told), (told.title, told.build), strict=True))
    for block in told.blocks:
        if isinstance(block, Line):
            found[_of_block(block)] = f"{block.text} {block.size}".strip()
            found |= {_of_picture(one): f"A photo: {one.caption or one.alt}" for one in block.pictures}
        else:
            found[_of_block(block)] = block.text or "Before and after"
    return found


def shared_keys(database: Path) -> set[str] | None:
    """The keys by which stories can be read in a database file; None where it can't tell."""
    try:
        with closing(sqlite3.connect(database)) as living:
            return {key for (key,) in living.execute("SELECT share_key FROM buildlog_story WHERE share_key <> ''")}
    except sqlite3.DatabaseError:
        return None


def end_all_but(keys: set[str] | None) -> None:
    """A backup must not open an address again that was ended since it was made."""
    if keys is not None:
        gone = Story.with_deleted.shared().exclude(share_key__in=keys)
        gone.update(share_key="", shared_at=None, agreed=[])


def waiting(story: Story, told: Told) -> dict[str, str]:
    """What of a shared story strangers do not see yet: the mark of each, with the words for it."""
    agreed = set(story.agreed)
    return {mark: words for mark, words in marks(told).items() if mark not in agreed} if story.share_key else {}


def agree(story: Story, told: Told, *, seen: Collection[str]) -> None:
    """Strangers read also what an owner has seen of it (`seen`: its marks), as far as it is still told so."""
    kept = set(story.agreed) | set(seen)
    story.agreed = [mark for mark in marks(told) if mark in kept]
    Story.objects.filter(pk=story.pk).update(agreed=story.agreed)


def as_agreed(story: Story, told: Told) -> Told:
    """What of it strangers may read."""
    agreed, blocks = set(story.agreed), []
    for block in told.blocks:
        if _of_block(block) not in agreed:
            continue
        if isinstance(block, Line):
            block = dataclasses.replace(
                block, pictures=tuple(one for one in block.pictures if _of_picture(one) in agreed)
            )
            if not (block.text or block.size or block.pictures):
                continue
        blocks.append(block)
    title, build = _of_head(told)
    return dataclasses.replace(
        told,
        title=told.title if title in agreed else "A story",
        build=told.build if build in agreed else "",
        blocks=without_empty(blocks),
        nights=told.nights if len(blocks) == len(told.blocks) else [],
    )
