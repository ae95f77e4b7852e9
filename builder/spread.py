"""Spread work over the cores of the machine.

In: a function and the things to do. Out: what it gives for each, in their order. Each core works in a process of its
own, a copy of this one made by fork; where the system cannot fork, or there is little to do, all is done here.
"""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from typing import Any, TypeVar

Thing = TypeVar("Thing")
Result = TypeVar("Result")
_work: Callable[[Any], Any] | None = None


def count_cores() -> int:
    """How many processes this one may run at the same time; 1 where the system cannot fork."""
    if "fork" not in multiprocessing.get_all_start_methods():
        return 1
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def spread(work: Callable[[Thing], Result], things: Sequence[Thing], *, least: int = 2) -> Iterator[Result]:
    """`work` of each thing, in order; by several processes where there are `least` things or more.

    The function goes to the processes as it stands, with all that it knows; the things and results are sent.
    """
    global _work
    cores = count_cores()
    if len(things) < max(least, 2) or cores < 2:
        yield from map(work, things)
        return
    _work = work
    try:
        with ProcessPoolExecutor(cores, mp_context=multiprocessing.get_context("fork")) as pool:
            yield from pool.map(_do, things)
    finally:
        _work = None


def _do(thing: Any) -> Any:
    assert _work is not None
    return _work(thing)
