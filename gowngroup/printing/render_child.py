"""The child process that makes PDFs: reads sheets from its parent, answers each, and ends when its parent does.

Its parent starts it, stops it where a sheet takes too long, and starts another where it breaks down. A question is a
line of JSON and then the sheet; an answer is a line of JSON and then the PDF. The first answer, to nobody's question, says that it is ready.
"""

import gc
import json
import logging
import os
import queue
import signal
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from itertools import count
from pathlib import Path
from typing import Any, BinaryIO

from gowngroup.printing.engine import EngineFailed, NoEngine, engine, written

IDLE_S = 600.0  # not needed for so long, it gives its memory back
MOST_MEMORY = 1_500_000_000  # bytes of address space; three times what the largest sheets take
# Looking for garbage as often as Python usually does takes a fifth of the time.
GARBAGE_THRESHOLD, COLLECTED_AFTER = 50_000, 10
READY, MADE, FAILED, MISSING = "ready", "made", "failed", "missing"

Question = tuple[str, str]


class Listener(logging.Handler):
    """Keeps what the engine says, so that it is told where the server's own log goes."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.said: list[tuple[str, int, str]] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.said.append((record.name, record.levelno, record.getMessage()))


def main() -> None:
    """Answer questions until the parent has gone or nothing was asked for a long while."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl+C is the parent's to answer
    answers = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # whatever a library prints must not come between the answers
    _limit_memory()
    listener = Listener()
    logging.getLogger().addHandler(listener)
    questions: queue.SimpleQueue[Question] = queue.SimpleQueue()
    threading.Thread(target=_listen, args=(sys.stdin.buffer, questions), daemon=True).start()
    with suppress(NoEngine):
        engine()
    gc.freeze()
    gc.set_threshold(GARBAGE_THRESHOLD)
    _tell(answers, {"state": READY, "said": []}, b"")
    answered = count(1)
    with suppress(queue.Empty):
        while True:
            html, variant = questions.get(timeout=IDLE_S)
            listener.said.clear()
            answer, content = _answer(html, variant)
            _tell(answers, answer | {"said": listener.said}, content)
            if answer["state"] == MISSING:
                return  # a fresh one looks for the library again
            if next(answered) % COLLECTED_AFTER == 0:
                gc.collect()


def _listen(source: BinaryIO, questions: "queue.SimpleQueue[Question]") -> None:
    """Hand questions on; the end of them means that the parent has gone, and that nobody waits for an answer."""
    for line in source:
        asked = json.loads(line)
        questions.put((source.read(asked["size"]).decode(), asked["variant"]))
    os._exit(0)


def _answer(html: str, variant: str) -> tuple[dict[str, Any], bytes]:
    with _cpu_time() as spent:
        try:
            content = written(html, variant)
        except NoEngine:
            return {"state": MISSING}, b""
        except EngineFailed as error:
            return {"state": FAILED, "error": str(error)[:500]}, b""
    return {"state": MADE, "cpu_s": spent[0], "peak_bytes": _peak_bytes()}, content


@contextmanager
def _cpu_time() -> Iterator[list[float]]:
    spent, before = [0.0], sum(os.times()[:2])
    yield spent
    spent[0] = sum(os.times()[:2]) - before


def _tell(answers: BinaryIO, answer: dict[str, Any], content: bytes) -> None:
    answers.write(json.dumps(answer | {"size": len(content)}).encode() + b"\n" + content)
    answers.flush()


def _limit_memory() -> None:
    """A sheet that wants more memory than any honest one fails alone, before the machine suffers."""
    if sys.platform == "linux":
        import resource  # noqa: PLC0415 - there is none on Windows

        resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))


def _peak_bytes() -> int:
    """The most memory this process has held; 0 where the system does not say."""
    with suppress(OSError):
        for line in Path("/proc/self/status").read_text().splitlines():
            if line.startswith("VmHWM:"):
                return int(line.split()[1]) * 1024
    return 0


if __name__ == "__main__":
    main()
