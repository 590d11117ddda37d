"""What the terminal says once the shop answers."""

import io
import sys

import qrcode

from buildlog.config.serving.plan import Plan


def lines(plan: Plan, *, fingerprint: str = "", code: str = "", sign_in: str = "", printing: str = "") -> list[str]:
    """fingerprint: of the authority; code: makes the owner; sign_in: one-click path; printing: what is missing."""
    said = ["", "Gusset is up.", "", f"  On this computer    {plan.desk_url}"]
    said += [f"  {'' if at else 'On a phone':<18}  {url}" for at, url in enumerate(plan.phone_urls)]
    if plan.phones and not plan.phone_urls:
        said += ["  On a phone          not yet: this computer is on no private network."]
    if plan.trust_url:
        said += ["", "  A new phone: on the same network, point its camera here, or open", f"  {plan.trust_url}", ""]
        said += [qr(plan.trust_url)]
        said += ["  Check what the phone shows against this (SHA-256):", *_in_rows(fingerprint)]
    elif plan.phone_urls:
        said += ["", qr(plan.phone_urls[0])]
    if code:
        said += ["", "  Nobody owns this shop yet. Open", f"  {plan.desk_url}/setup/", f"  and type the code  {code}"]
    if sign_in:
        said += ["", "  Come in as the owner of the demo shop (works once):", f"  {plan.desk_url}{sign_in}"]
    if printing:
        said += ["", f"  {printing}"]
    return [*said, "", "  Ctrl-C stops it.", ""]


def qr(text: str) -> str:
    """A code to scan off the terminal, or nothing where the terminal has no blocks to draw it with."""
    try:
        "█▀▄".encode(sys.stdout.encoding or "ascii")
    except UnicodeEncodeError:
        return ""
    return draw(text)


def draw(text: str) -> str:
    """The code in half blocks, light on dark: most terminals are dark, and a light one shows it inverted,
    which phones read as well."""
    drawn, code = io.StringIO(), qrcode.QRCode(border=2, error_correction=qrcode.ERROR_CORRECT_L)
    code.add_data(text)
    code.print_ascii(out=drawn, invert=True)
    return drawn.getvalue().rstrip("\n")


def _in_rows(fingerprint: str) -> list[str]:
    """Eight pairs a row, as on the page it is compared with."""
    pairs = fingerprint.split(":")
    return [f"    {' '.join(pairs[at : at + 8])}" for at in range(0, len(pairs), 8)]
