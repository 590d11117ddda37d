"""Common passwords, also when they were only made longer.

The usual list of leaked passwords holds few of twelve letters or more; what people do to reach twelve is to double a
common one or to hang figures on it. Those are as quickly guessed, so they are refused as well.
"""

import re

from django.contrib.auth.password_validation import CommonPasswordValidator
from django.core.exceptions import ValidationError


class StretchedPasswordValidator(CommonPasswordValidator):
    def validate(self, password, user=None):
        super().validate(password, user)
        low = password.casefold().strip()
        core = re.sub(r"^[\W\d_]+|[\W\d_]+$", "", low)  # without figures and marks hung on either end
        for common in {low, core}:
            if (unit := re.fullmatch(r"(.+?)\1*", common)) and unit[1] in self.passwords:
                raise ValidationError(
                    "This is a common password made longer. Take words that do not belong together.",
                    code="password_stretched",
                )
