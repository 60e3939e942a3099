"""A mail server of this machine that takes letters, refuses them, drops the line, or is down.

It answers the commands of RFC 5321, section 4.1.1, with the replies of 4.2.3, and AUTH as in RFC 4954.
"""

import socket
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from email import message_from_bytes, policy
from email.message import EmailMessage
from socketserver import StreamRequestHandler, ThreadingTCPServer
from threading import Thread

from pytest_django.fixtures import Settings

AFTER_THE_DOT = "."


@dataclass
class MailServer:
    """What it has taken, and how it behaves: what it answers to a command, and after which it hangs up."""

    port: int
    letters: list[EmailMessage] = field(default_factory=list)
    answers: dict[str, str] = field(default_factory=dict)
    hangs_up_at: str = ""
    is_signed_in_to: bool = False

    def to(self) -> list[str]:
        return [str(letter["To"]) for letter in self.letters]


class _Conversation(StreamRequestHandler):
    def handle(self) -> None:
        mail_server: MailServer = self.server.mail_server  # type: ignore[attr-defined]
        self._say("220 ready")
        for line in self.rfile:
            command = line.decode().strip().upper()[:4]
            if command == mail_server.hangs_up_at:
                return
            answer = mail_server.answers.get(command, "")
            if command == "EHLO" and not answer:
                answer = "250-here\r\n250 AUTH PLAIN" if mail_server.is_signed_in_to else "250 here"
            elif command == "DATA" and not answer:
                self._say("354 go on")
                answer = self._take(mail_server)
                if mail_server.hangs_up_at == AFTER_THE_DOT:
                    return
            self._say(answer or ("221 bye" if command == "QUIT" else "250 well"))
            if command == "QUIT":
                return

    def _take(self, mail_server: MailServer) -> str:
        lines = b"".join(iter(self.rfile.readline, b".\r\n"))
        refused = mail_server.answers.get(AFTER_THE_DOT, "")
        if not refused:
            letter = message_from_bytes(lines, policy=policy.default)
            mail_server.letters.append(letter)
        return refused or "250 taken"

    def _say(self, words: str) -> None:
        self.wfile.write(f"{words}\r\n".encode())


@contextmanager
def mail_server(settings: Settings) -> Iterator[MailServer]:
    """A mail server that takes every letter until told otherwise, and the one the site sends to."""
    with ThreadingTCPServer(("127.0.0.1", 0), _Conversation) as server:
        server.daemon_threads = True
        told = MailServer(port=server.server_address[1])
        server.mail_server = told  # type: ignore[attr-defined]
        thread = Thread(target=server.serve_forever, kwargs={"poll_interval": 0.01})
        thread.start()
        send_to(settings, told.port)
        try:
            yield told
        finally:
            server.shutdown()
            thread.join()


def send_to(settings: Settings, port: int) -> None:
    """Let the site send its letters by SMTP to this machine."""
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT, settings.EMAIL_TIMEOUT = "127.0.0.1", port, 5


def closed_port() -> int:
    """A port of this machine at which nobody listens."""
    with socket.create_server(("127.0.0.1", 0)) as held:
        return int(held.getsockname()[1])
