"""What strangers read of a shared story: what an owner has let them read, as far as it still stands.

The story is told anew each time, so that what is kept out of public is gone at once. What came or changed since, by
whatever way (a line put in, other words in the log, a photo, the name of a task), waits until an owner has seen it.
"""

import dataclasses
import hashlib

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


def waiting(story: Story, told: Told) -> list[str]:
    """What of a shared story strangers do not see yet, in words."""
    agreed = set(story.agreed)
    return [words for mark, words in marks(told).items() if mark not in agreed] if story.share_key else []


def agree(story: Story, told: Told) -> None:
    """Strangers read it as it is told now."""
    story.agreed = list(marks(told))
    Story.objects.filter(pk=story.pk).update(agreed=story.agreed)


def as_agreed(story: Story, told: Told) -> Told:
    """What of it strangers may read. What is gone from it has to be agreed to again before it is back."""
    agreed, there = set(story.agreed), marks(told).keys()
    if agreed - there:
        Story.objects.filter(pk=story.pk).update(agreed=[mark for mark in story.agreed if mark in there])
    blocks = []
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
