"""The application server: the same in the demo and in use."""

import waitress
from django.core.wsgi import get_wsgi_application


def serve(*, host: str, port: int, thread_count: int = 8) -> None:
    """Serve the app until stopped; static files come from it too."""
    # Made only now: it looks once which static files there are, and they have just been collected.
    waitress.serve(get_wsgi_application(), host=host, port=port, threads=thread_count, ident=None)
