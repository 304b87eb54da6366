"""Where pyHanko's event loop runs: it starts one for each signature, and a thread can have only one."""

import asyncio
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import TypeVar

T = TypeVar("T")


def in_own_loop(work: Callable[[], T]) -> T:
    """Do the work here, or in a thread beside this one where an event loop runs here already."""
    try:
        asyncio.get_running_loop()
    except RuntimeError:
        return work()
    with ThreadPoolExecutor(max_workers=1) as beside:
        return beside.submit(work).result()
