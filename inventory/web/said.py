"""What was just done is said on the page that a person sees next, not in one that a script fetches meanwhile."""

from django.contrib.messages.storage.fallback import FallbackStorage

BACKGROUND = "X-Background"  # the worker says so where it fetches a page that nobody looks at yet


class SaidOnAPage(FallbackStorage):
    """Leaves the messages for the next page where the phone fetches one in the background, to keep it.

    Without this a kept page could use up “Put 2 × …” and its Undo while the person waits for the page that says it.
    What a browser itself tells of a request (Sec-Fetch-Dest) won't do: a page that comes by way of the worker has none.
    """

    def __iter__(self):
        return iter(()) if BACKGROUND in self.request.headers else super().__iter__()
