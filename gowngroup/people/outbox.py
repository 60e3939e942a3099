"""Letters in a file outbox, as in the demonstration: read back for the page that shows them, and forgotten."""

from dataclasses import dataclass
from datetime import datetime
from email import message_from_bytes, policy
from email.message import EmailMessage
from email.utils import parsedate_to_datetime
from pathlib import Path

from gowngroup.people.traces import Blotter, Words

SEPARATOR = b"-" * 79 + b"\n"


@dataclass(frozen=True, slots=True, kw_only=True)
class Letter:
    """One letter as its reader sees it."""

    subject: str
    to: str
    sent_at: datetime | None
    text: str


def letters(folder: Path, *, at_most: int) -> list[Letter]:
    """The newest letters of a folder Django's file backend writes to, newest first."""
    files = sorted(folder.glob("*.log"), key=lambda path: path.stat().st_mtime_ns, reverse=True)
    found: list[Letter] = []
    for path in files:
        if len(found) >= at_most:
            break
        parts = [part for part in path.read_bytes().split(SEPARATOR) if part.strip()]
        found += [_letter(part) for part in reversed(parts)]
    return found[:at_most]


def _letter(raw: bytes) -> Letter:
    message = message_from_bytes(raw, policy=policy.default)
    body = message.get_body(("plain",)) if isinstance(message, EmailMessage) else None
    return Letter(
        subject=str(message["Subject"] or ""),
        to=str(message["To"] or ""),
        sent_at=parsedate_to_datetime(message["Date"]) if message["Date"] else None,
        text=body.get_content() if body is not None else "",
    )


def forget_letters(folder: Path, words: Words) -> None:
    """Take away every letter to or about somebody who is forgotten."""
    blotter = Blotter(words)
    for path in folder.glob("*.log"):
        parts = [part for part in path.read_bytes().split(SEPARATOR) if part.strip()]
        kept = [part for part in parts if not _speaks_of(part, blotter)]
        if not kept:
            path.unlink()
        elif len(kept) < len(parts):
            path.write_bytes(b"".join(part + SEPARATOR for part in kept))


def _speaks_of(raw: bytes, blotter: Blotter) -> bool:
    message = message_from_bytes(raw, policy=policy.default)
    texts = [str(value) for value in message.values()]
    texts += [part.get_content() for part in message.walk() if part.get_content_maintype() == "text"]
    return any(blotter.blot(text, is_sentence=True) != text for text in texts)
