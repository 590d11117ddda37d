"""Bringing a backup back from the page: asked for there, done by `up` while its servers are stopped."""

import json
import logging
import os
import sqlite3
import time
from collections.abc import Callable
from dataclasses import asdict, dataclass
from datetime import datetime, timedelta
from pathlib import Path

from django.conf import settings
from django.utils import timezone

from . import actions
from .archive import BadBackup
from .running import only_one, telling

WORTH_SAYING = timedelta(days=7)
PATIENCE = 600.0  # seconds for a backup that is being made just now
GONE_BY = 12 * 3600  # seconds: a start on another day must not turn the shop back
log = logging.getLogger("gusset.keeping")


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of the last wish. before: the backup of the shop as it was; trouble: why nothing was changed."""

    name: str
    at: str
    before: str = ""
    trouble: str = ""


def _asked_file() -> Path:
    return Path(settings.DATA_DIR) / "bring-back.json"


def _outcome_file() -> Path:
    return Path(settings.DATA_DIR) / "brought-back.json"


def by_itself() -> bool:
    """Whether this server was started by `up`, which looks for such wishes and starts it again."""
    return bool(os.environ.get("GUSSET_LISTENER"))


def ask(path: Path) -> None:
    aside = _asked_file().with_suffix(".part")
    aside.write_text(json.dumps({"name": path.name}))
    aside.replace(_asked_file())


def asked() -> Path | None:
    """The backup that is to be brought back, while that has not been done; a wish from another day has gone by."""
    try:
        if time.time() - _asked_file().stat().st_mtime > GONE_BY:
            forget()
        name = json.loads(_asked_file().read_text())["name"]
    except FileNotFoundError:
        return None
    except (ValueError, KeyError, TypeError):
        _asked_file().unlink(missing_ok=True)
        return None
    return actions.folder() / Path(name).name


def forget() -> None:
    """Take the wish back."""
    _asked_file().unlink(missing_ok=True)


def outcome() -> Outcome | None:
    """What became of the last wish, for a week."""
    try:
        found = Outcome(**json.loads(_outcome_file().read_text()))
        return found if timezone.now() - datetime.fromisoformat(found.at) < WORTH_SAYING else None
    except (OSError, ValueError, TypeError):
        return None


def settle(say: Callable[[str], None]) -> None:
    """Do what was asked for: a backup of the shop as it is, then the other one in its place. Never twice.

    Nothing may have the database open. What goes wrong is kept for the page to say; the shop is then as it was.
    """
    path = asked()
    if path is None:
        return
    with only_one(patience=PATIENCE) as mine:
        if not mine:
            return
        say(f"Bringing back {path.name} …")
        before = trouble = ""
        try:
            actions.verify(path, tell=telling("Checking"))
            before = _backup_of_now()
            actions.restore(path, replace=True, keep_before=not before, tell=telling("Bringing back"), say=say)
        except (BadBackup, OSError) as error:
            trouble = str(error)
        except actions.ShopIsUp:
            trouble = "Another program has the shop’s database open. Stop it, then ask again."
        except Exception as error:  # the shop must come up again, and the page say what happened
            log.exception("%s could not be brought back", path.name)
            trouble = f"Something went wrong: {error}"
        finally:
            _asked_file().unlink(missing_ok=True)
        done = Outcome(path.name, timezone.localtime().isoformat(timespec="minutes"), before, trouble)
        _outcome_file().write_text(json.dumps(asdict(done)))
        say(trouble or f"{path.name} is back.")


def _backup_of_now() -> str:
    """So that it can be undone in the same way. A database too damaged to copy is put aside all the same."""
    try:
        return actions.make(tell=telling("Backing up what is there now")).name
    except sqlite3.DatabaseError:
        return ""
