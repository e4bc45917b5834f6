"""Work that takes longer than a page may: run beside the requests, told of in steps, stoppable.

Data flow: a view starts a job with a name and a function of :class:`Progress`; the function runs
in its own thread and opens its own workbench; the page of the job asks for its state until it is
done and then goes where the job says.
"""

import logging
import secrets
import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field, replace

from shivelight.basis.errors import NotFoundError, ShivelightError

MOST_JOBS = 50
FAULT = (
    "This is a fault of shivelight's, not of what you did. The details are where shivelight was "
    "started from."
)
log = logging.getLogger(__name__)


class StoppedError(Exception):
    """Somebody asked for the job to stop; what was finished before is kept."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JobState:
    """How far a job has come.

    Attributes
    ----------
    name : str
        Its key.
    what : str
        In words, such as "judging the mornings".
    step, done, total
        The present step, how many are done, and of how many; 0 of 0 before the first.
    state : {"working", "done", "failed", "stopped"}
        Where it is.
    words : str
        What came of it, or what went wrong.
    then : str
        The page to go to.
    """

    name: str
    what: str
    step: str = ""
    done: int = 0
    total: int = 0
    state: str = "working"
    words: str = ""
    then: str = "/"


@dataclass(slots=True)
class _Job:
    state: JobState
    stop: threading.Event = field(default_factory=threading.Event)
    thread: threading.Thread | None = None


class Jobs:
    """Jobs of one app; the last fifty are remembered."""

    def __init__(self) -> None:
        self._jobs: OrderedDict[str, _Job] = OrderedDict()
        self._lock = threading.Lock()

    def start(
        self, what: str, work: "Callable[[Progress], str]", *, then: str, key: str = ""
    ) -> JobState:
        """Start a job; one of the same key that is still at work is returned instead.

        Parameters
        ----------
        what : str
            In words.
        work : callable
            Does it, telling its progress; returns what came of it in words.
        then : str
            Address of the page to go to after it.
        key : str
            Jobs of the same key never run beside each other; empty for no such care.
        """
        with self._lock:
            same = [
                job for job in self._jobs.values()
                if key and job.state.name.startswith(f"{key}-") and job.state.state == "working"
            ]  # fmt: skip
            if same:
                return same[0].state
            name = f"{key or 'job'}-{secrets.token_urlsafe(9)}"
            job = _Job(JobState(name=name, what=what, then=then))
            self._jobs[name] = job
            self._drop_old()
        job.thread = threading.Thread(target=self._run, args=(job, work), name=name, daemon=True)
        job.thread.start()
        return job.state

    def state(self, name: str) -> JobState:
        """How far a job has come.

        Raises
        ------
        NotFoundError
            If there is none of that name, or it is long over.
        """
        with self._lock:
            if name not in self._jobs:
                raise NotFoundError("There is no such job; it may be long over.")
            return self._jobs[name].state

    def stop(self, name: str) -> JobState:
        """Ask a job to stop at its next step."""
        self.state(name)
        self._jobs[name].stop.set()
        return self.state(name)

    def wait(self, name: str, timeout_s: float = 60.0) -> JobState:
        """Wait for a job; for tests and for shutting down."""
        thread = self._jobs[name].thread
        if thread is not None:
            thread.join(timeout_s)
        return self.state(name)

    def _run(self, job: _Job, work: "Callable[[Progress], str]") -> None:
        try:
            words = work(Progress(self, job))
        except StoppedError:
            self._set(job, state="stopped", words="Stopped. What was finished before is kept.")
        except ShivelightError as why:
            self._set(job, state="failed", words=str(why))
        except Exception:  # the thread's outermost edge
            log.exception("The job %r failed.", job.state.what)
            self._set(job, state="failed", words=FAULT)
        else:
            self._set(job, state="done", words=words, done=max(job.state.total, 1))

    def _set(self, job: _Job, **changes: object) -> None:
        with self._lock:
            job.state = replace(job.state, **changes)  # type: ignore[arg-type]

    def _drop_old(self) -> None:
        over = [name for name, job in self._jobs.items() if job.state.state != "working"]
        for name in over[: max(len(self._jobs) - MOST_JOBS, 0)]:
            del self._jobs[name]


class Progress:
    """Told of steps by the workbench; raises where the job is to stop."""

    def __init__(self, jobs: Jobs, job: _Job) -> None:
        self._jobs, self._job = jobs, job

    def __call__(self, step: str, done: int, total: int) -> None:
        """Take note of a step, how many are done, and of how many."""
        if self._job.stop.is_set():
            raise StoppedError
        self._jobs._set(self._job, step=step, done=done, total=total)
