"""What is said of an identification number."""

from .calc.vin import FAILS, NO_CHECK_DIGIT, PASSES, VinCheck

NEED_NOT = "Numbers from before 1981, or from outside North America, need not pass."


def of_number(check: VinCheck | None) -> dict[str, str]:
    """`says`, and `warns` where something may have been misread. Nothing for a number of another length."""
    if check is None or check.standing not in (PASSES, FAILS, NO_CHECK_DIGIT):
        return {}
    if check.standing == PASSES:
        return {"says": "17 characters, and the check digit agrees."}
    if check.standing == NO_CHECK_DIGIT:
        return {"says": f"17 characters without a check digit. {NEED_NOT}"}
    if check.barred:
        what = (
            f"{_listed([f'“{c}” at position {at}' for at, c in check.barred])} can’t be: a number of 17 never has it."
        )
    else:
        what = f"The check digit, position 9, is {check.found}; by the other characters it would be {check.expected}."
    return {"warns": f"{what} {_likely(check)}{NEED_NOT}"}


def _likely(check: VinCheck) -> str:
    likely = [
        f"position {one.position}, read as {one.read}, may be {one.likely}" for one in check.suspects if one.likely
    ]
    return f"Look again: {_listed(likely[:2], 'or')}. " if likely else "Look at it again. "


def _listed(some: list[str], last: str = "and") -> str:
    return f" {last} ".join([", ".join(some[:-1]), some[-1]] if len(some) > 1 else some)
