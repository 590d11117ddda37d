"""The content security policy, as settings.SECURE_CSP says it. Django 6 brings this; delete it then."""

from django.conf import settings

ALSO_SENT = {"Permissions-Policy": "camera=(self), geolocation=(), microphone=(), payment=(), usb=()"}


def header(policy: dict[str, list[str]]) -> str:
    return "; ".join(f"{name} {' '.join(sources)}" for name, sources in policy.items())


class ContentSecurityPolicyMiddleware:
    """A view may widen the policy for its own page by setting response._csp_extra = {"script-src": [...]}."""

    def __init__(self, get_response):
        self.get_response = get_response
        self.constant = header(settings.SECURE_CSP)

    def __call__(self, request):
        response = self.get_response(request)
        if "Content-Security-Policy" not in response.headers:
            extra = getattr(response, "_csp_extra", None)
            response.headers["Content-Security-Policy"] = header(_wider(extra)) if extra else self.constant
        for name, value in ALSO_SENT.items():
            response.headers.setdefault(name, value)
        return response


def _wider(extra: dict[str, list[str]]) -> dict[str, list[str]]:
    policy = {name: list(sources) for name, sources in settings.SECURE_CSP.items()}
    for name, sources in extra.items():
        policy[name] = [source for source in policy.get(name, []) if source != "'none'"] + sources
    return policy
