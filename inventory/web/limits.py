"""A body that is too large is refused before it is read: Django itself would take files of any size."""

from django.core.files.uploadhandler import FileUploadHandler, StopUpload
from django.shortcuts import render

MOST_BODY = 64 * 1024 * 1024  # two of the largest photos, or one spreadsheet, with room


class BodyLimitMiddleware:
    """Answers 413 by the announced length alone. Stands before everything that looks into request.POST."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        length = request.META.get("CONTENT_LENGTH") or "0"
        if not length.isdecimal() or int(length) > MOST_BODY:
            response = render(request, "413.html", {"most": MOST_BODY // 1024**2}, status=413)
            response.headers["Connection"] = "close"
            return response
        return self.get_response(request)


class BodyLimit(FileUploadHandler):
    """Stops a body whose files grow past the limit, whatever length it announced."""

    def handle_raw_input(self, *args, **kwargs):
        self.seen = 0

    def receive_data_chunk(self, raw_data, start):
        self.seen += len(raw_data)
        if self.seen > MOST_BODY:
            raise StopUpload(connection_reset=True)
        return raw_data

    def file_complete(self, file_size):
        return None
