"""A caption: words shown or spoken over a stretch of time, whatever the file it stands in."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Caption:
    """One caption of a track, from `start_ms` to `end_ms`, in whole milliseconds from the start of the film.

    `parts` are (voice, words) in order, the voice empty where none is named. `row` is the line of its times in the
    file it was read from, 0 where it was read from none. `shown` is false where a player that keeps to the standard
    passes it over, so that nobody sees it.
    """

    start_ms: int
    end_ms: int
    parts: tuple[tuple[str, str], ...]
    id: str = ""
    settings: tuple[tuple[str, str], ...] = ()
    row: int = 0
    shown: bool = True

    @property
    def text(self) -> str:
        """The words, in lines."""
        return "".join(words for _, words in self.parts)

    @property
    def voices(self) -> tuple[str, ...]:
        """Who speaks, each named once."""
        return tuple(dict.fromkeys(voice for voice, _ in self.parts if voice))
