"""Serve the app for a group at work; a proxy in front of it speaks https."""

from argparse import ArgumentParser

from django.core.management import BaseCommand

from gowngroup.home.serving import make_ready, serve


class Command(BaseCommand):
    help = "Serve the app on this machine; run `manage.py db_worker` beside it."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--host", default="127.0.0.1")
        parser.add_argument("--port", type=int, default=8000)
        parser.add_argument("--threads", type=int, default=8)

    def handle(self, *, host: str, port: int, threads: int, **options: object) -> None:
        make_ready()
        serve(host=host, port=port, thread_count=threads)
