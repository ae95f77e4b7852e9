"""How often a passphrase may be tried: a few times freely, then ever more slowly, for each person and each client.

In: who is to sign and where the request comes from. Out: the seconds to wait, 0 where the try may go on. A try is
counted as wrong until it turns out right, so that many at once cannot slip past the count.
"""

from __future__ import annotations

import math
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass

FREE = {"person": 5, "client": 20}
"""Wrong tries before the first wait (our choice); a client may be several curators behind one proxy."""
FIRST_WAIT_S, LONGEST_WAIT_S = 60, 3600
"""Each wrong try after that doubles the wait, up to an hour (our choice)."""
FORGET_S = 24 * 3600
MOST = 4096
"""No more tallies are kept than this, so that nobody can fill the memory with made-up addresses."""


@dataclass
class _Tally:
    wrong: int = 0
    until: float = 0.0
    last: float = 0.0


class Patience:
    """The tallies of one run of the server. `clock` gives seconds that never go back."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._lock = threading.Lock()
        self._tallies: dict[tuple[str, str], _Tally] = {}

    def seconds_to_wait(self, person: str, client: str) -> int:
        """Ask leave for one try. 0: go on, and it is counted; else the seconds to wait, and nothing is counted."""
        keys = [("person", person), ("client", client)]
        with self._lock:
            now = self._clock()
            self._prune(now)
            tallies = [self._tallies.setdefault(key, _Tally()) for key in keys]
            wait = max(tally.until - now for tally in tallies)
            if wait > 0:
                return math.ceil(wait)
            for (kind, _), tally in zip(keys, tallies, strict=True):
                tally.wrong += 1
                tally.last = now
                over = tally.wrong - FREE[kind]
                if over >= 0:
                    tally.until = now + min(FIRST_WAIT_S * 2 ** min(over, 10), LONGEST_WAIT_S)
            return 0

    def was_right(self, person: str, client: str) -> None:
        """The passphrase was right: both start anew."""
        with self._lock:
            self._tallies.pop(("person", person), None)
            self._tallies.pop(("client", client), None)

    def _prune(self, now: float) -> None:
        for key in [key for key, tally in self._tallies.items() if now - max(tally.last, tally.until) > FORGET_S]:
            del self._tallies[key]
        clients = [key for key in self._tallies if key[0] == "client"]  # persons are few and never made up
        for key in sorted(clients, key=lambda key: self._tallies[key].last)[: max(0, len(clients) - MOST)]:
            del self._tallies[key]


def in_words(seconds: int) -> str:
    """A wait as people say it."""
    if seconds < 60:
        return f"{seconds} second" if seconds == 1 else f"{seconds} seconds"
    minutes = math.ceil(seconds / 60)
    return f"{minutes} minute" if minutes == 1 else f"{minutes} minutes"
