"""What was just done is said on the page that a person sees next, not in one that a script fetches meanwhile."""

from django.contrib.messages.storage.fallback import FallbackStorage


class SaidOnAPage(FallbackStorage):
    """Leaves the messages for the next page where the phone fetches one in the background, to keep it (Fetch Metadata).

    Without this a kept page could use up “Put 2 × …” and its Undo while the person waits for the page that says it.
    """

    def __iter__(self):
        if self._in_background():
            return iter(())
        return super().__iter__()

    def _in_background(self) -> bool:
        headers = self.request.headers
        return headers.get("Sec-Fetch-Dest") == "empty" and "HX-Request" not in headers
