"""Drawing up papers in processes of their own, to keep every core busy.

The papers are the same byte for byte however many processes there are. The workers only draw: the
main process alone puts files in place and enters them.
"""

import gc
import os
import pickle
import signal
import sys
import threading
import traceback
from collections.abc import Callable
from concurrent.futures import BrokenExecutor, Future, ProcessPoolExecutor
from functools import lru_cache
from multiprocessing import active_children, get_context, parent_process
from types import TracebackType
from typing import Any

from msgspec import Struct

from quotegen.documents.printing.pdf import load_engine
from quotegen.machine.process import set_process
from quotegen.making.drawing_up import Drawn, PaperTask, draw_up
from quotegen.making.papers import Work
from quotegen.problems import Problem

MOST_WORKERS = 8
"""The most workers that help: the process that enters the papers has to keep up with them."""
_JOBS_KEPT = 2
_START = "fork" if sys.platform == "linux" else "spawn"

Pending = Callable[[], Drawn | Problem]


class DrawingFailedError(Exception):
    """A fault of ours while drawing up a paper in another process, carrying its message."""


class _Fault(Struct, frozen=True):
    paper: str
    words: str


class Workers:
    """Draws up papers: in this process if `count` is 1, otherwise in that many others.

    The processes start with the first paper and end with the `with` block, at once if that ends by
    an exception. If one is killed from outside, its work is done in this process.
    """

    def __init__(self, count: int) -> None:
        self._count = min(count, MOST_WORKERS)
        self._pool: ProcessPoolExecutor | None = None
        self._before = set(active_children())
        self._packed: tuple[Work, bytes] | None = None

    def __enter__(self) -> "Workers":
        if self._count < 2:
            gc.freeze()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, _: BaseException | None, __: TracebackType | None
    ) -> None:
        if self._count < 2:
            gc.unfreeze()
        if self._pool is None:
            return
        if kind is not None:
            for process in set(active_children()) - self._before:
                process.terminate()
        self._pool.shutdown(wait=kind is None, cancel_futures=True)

    @property
    def ahead(self) -> int:
        """The number of papers to begin before waiting for the first."""
        return 4 * self._count if self._count > 1 else 1

    def draw(self, task: PaperTask) -> Pending:
        """Begin one paper and return a function that waits for it."""
        if self._count < 2:
            return lambda: draw_up(task)
        try:
            future = self._pool_of_all().submit(_draw_packed, self._pack(task.work), _without(task))
        except BrokenExecutor:
            return lambda: draw_up(task)
        return lambda: _result(future, task)

    def _pool_of_all(self) -> ProcessPoolExecutor:
        if self._pool is None:
            self._pool = ProcessPoolExecutor(self._count, get_context(_START), _get_ready)
        return self._pool

    def _pack(self, work: Work) -> bytes:
        """A pickled job, made once for all its papers."""
        if self._packed is None or self._packed[0] is not work:
            self._packed = (work, pickle.dumps(work, pickle.HIGHEST_PROTOCOL))
        return self._packed[1]


def cores() -> int:
    """The number of cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def _without(task: PaperTask) -> dict[str, Any]:
    """A task without its job."""
    return {name: getattr(task, name) for name in task.__struct_fields__ if name != "work"}


def _result(future: "Future[Drawn | Problem | _Fault]", task: PaperTask) -> Drawn | Problem:
    try:
        found = future.result()
    except BrokenExecutor:
        return draw_up(task)
    if isinstance(found, _Fault):
        raise DrawingFailedError(f"{task.work.ref}, {found.paper}: {found.words}")
    return found


def _get_ready() -> None:
    """Prepare a worker process before its first paper."""
    # Ctrl-C reaches every process of the terminal; the main one ends the others.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()
    load_engine()
    set_process()
    gc.freeze()


def _end_with_parent() -> None:
    """End this worker if the process that started it is killed."""
    parent = parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)


def _draw_packed(packed: bytes, rest: dict[str, Any]) -> Drawn | Problem | _Fault:
    try:
        return draw_up(PaperTask(_unpacked(packed), **rest))
    except Exception as error:
        # Not every exception can be pickled, and the traceback would be lost.
        last = traceback.extract_tb(error.__traceback__)[-1]
        where = f"{os.path.basename(last.filename)} {last.lineno}"  # noqa: PTH119
        return _Fault(str(rest["paper"]), f"{type(error).__name__}: {error} ({where})")


@lru_cache(_JOBS_KEPT)
def _unpacked(packed: bytes) -> Work:
    work: Work = pickle.loads(packed)
    return work
