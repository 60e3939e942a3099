"""The application server: the same in the demo and in use."""

from typing import Any

import waitress
from django.conf import settings
from django.core.wsgi import get_wsgi_application


def serve(*, host: str, port: int, thread_count: int = 8) -> None:
    """Serve the app until stopped; static files come from it too."""
    # Made only now: it looks once which static files there are, and they have just been collected.
    app = get_wsgi_application()
    waitress.serve(app, host=host, port=port, threads=thread_count, ident=None, **proxy_options())


def proxy_options() -> dict[str, Any]:
    """Whom the server believes that a page was asked for by https: the proxy where there is one, else nobody.

    By itself the server drops that header, whoever sends it; each page would then lead to its https address for ever.
    """
    if settings.SECURE_PROXY_SSL_HEADER is None:
        return {}
    return {"trusted_proxy": "*", "trusted_proxy_headers": {"x-forwarded-proto"}}
