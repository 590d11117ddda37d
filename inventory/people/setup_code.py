"""The one-time code that makes the first owner: shown in the terminal, typed on the setup page.

Only a keyed hash of it is kept, in the data folder, and only until the shop has an owner.
"""

import hmac
import os
import secrets
from pathlib import Path

from django.conf import settings
from django.utils.crypto import salted_hmac

# No letter that is taken for another when read off a screen across a barn.
LETTERS = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"
LENGTH = 10  # 31^10, about 49 bits; the page that takes it is rate-limited


def issue() -> str:
    """A new code, in the way it is shown: ABCDE-FGHJK. The one before no longer works."""
    code = "".join(secrets.choice(LETTERS) for _ in range(LENGTH))
    part = _file().with_name("setup_code.part")
    part.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    with os.fdopen(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "w") as out:
        out.write(_hash(code))
    part.replace(_file())
    return f"{code[:5]}-{code[5:]}"


def check(code: str) -> bool:
    """Whether this is the code; case, blanks and dashes don't matter. False once the setup is closed."""
    try:
        kept = _file().read_text()
    except OSError:
        return False
    typed = "".join(letter for letter in code.upper() if letter.isalnum())
    return hmac.compare_digest(kept, _hash(typed))


def is_open() -> bool:
    """Whether a code has been issued and the shop has not been closed since."""
    return _file().exists()


def close() -> None:
    """The shop has its owner: no code works from now on."""
    _file().unlink(missing_ok=True)


def _file() -> Path:
    return settings.DATA_DIR / "setup_code"


def _hash(code: str) -> str:
    return salted_hmac("inventory.people.setup_code", code, algorithm="sha256").hexdigest()
