"""The application server: the same in the demo and in use."""

import waitress

from gowngroup.wsgi import application


def serve(*, host: str, port: int, thread_count: int = 8) -> None:
    """Serve the app until stopped; static files come from it too."""
    waitress.serve(application, host=host, port=port, threads=thread_count, ident=None)
