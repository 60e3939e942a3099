"""A background program kept running beside the demo: started again where it ends before its time."""

import subprocess
import time
from collections.abc import Callable, Sequence
from threading import Event, Lock, Thread

FIRST_PAUSE_S, LONGEST_PAUSE_S = 1.0, 60.0
LASTED_S = 60.0  # whatever ran for so long had no trouble starting
STOP_LIMIT_S = 20.0
AGAIN = "The background worker had ended; it is started again. What it was printing or planning can be gone on with from its page."


class Watched:
    """A program that is started again, with a line said about it, until it is stopped.

    Before each new start there is a pause, longer each time the program ended soon after it began, so that one that
    cannot run keeps no processor busy.
    """

    def __init__(
        self, command: Sequence[str], say: Callable[[str], object], *, pause_s: float = FIRST_PAUSE_S
    ) -> None:
        self._command, self._say, self._pause_s = command, say, pause_s
        self._starting, self._is_over = Lock(), Event()
        self.process = subprocess.Popen(command)  # noqa: S603 - our own command
        self._thread = Thread(target=self._watch, daemon=True)
        self._thread.start()

    def let_go(self) -> None:
        """Start it no more: Ctrl+C reaches the program too, which ends before anybody has stopped it."""
        self._is_over.set()

    def stop(self) -> None:
        """End it, kindly at first, and the watching with it."""
        with self._starting:
            self._is_over.set()
            self.process.terminate()
        self._thread.join(STOP_LIMIT_S)
        self.process.kill()
        self._thread.join()

    def _watch(self) -> None:
        pause_s = self._pause_s
        while True:
            since = time.monotonic()
            self.process.wait()
            if time.monotonic() - since > LASTED_S:
                pause_s = self._pause_s
            if self._is_over.wait(pause_s) or not self._start_again():
                return
            pause_s = min(2 * pause_s, LONGEST_PAUSE_S)

    def _start_again(self) -> bool:
        with self._starting:
            if self._is_over.is_set():
                return False
            self._say(AGAIN)
            self.process = subprocess.Popen(self._command)  # noqa: S603 - our own command
            return True
