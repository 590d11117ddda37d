"""Marks on views that the role middleware reads. The default without a mark: guests look, hands and owners change."""


def owner_only(view):
    """Hands and guests are refused, whatever the method."""
    view.owner_only = True
    return view


def changes_only(view):
    """A form and nothing else: a guest, who could not send it, is told so before filling it in."""
    view.changes_only = True
    return view


def guests_too(view):
    """Even a guest may post here (log out, own password)."""
    view.guests_too = True
    return view


def before_set_up(view):
    """Reached while the shop has no owner yet."""
    view.before_set_up = True
    return view
