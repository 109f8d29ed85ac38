"""A worker's jobs follow each other, make way, fail and hang, and the loop goes on."""

from __future__ import annotations

import asyncio
import os
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager

import pytest

from frame3d.live.work.worker import Message, Worker, failure
from tests.live.loops import run

ENTRY = "tests.live.jobs_for_tests:run"
Test = Callable[["Ear"], Awaitable[None]]


class Ear:
    """A worker and everything that it has said."""

    def __init__(self, **limits: float) -> None:
        self.heard: list[Message] = []
        self.news = asyncio.Event()
        self.worker = Worker(ENTRY, self.hear, **limits)

    def hear(self, said: Message) -> None:
        self.heard.append(said)
        self.news.set()

    async def until(self, kind: str, job: int) -> Message:
        """The first that is said of that kind about a job."""
        async with asyncio.timeout(60):
            while True:
                found = [s for s in self.heard if s.kind == kind and s.job == job]
                if found:
                    return found[0]
                self.news.clear()
                await self.news.wait()


@asynccontextmanager
async def listening(**limits: float) -> AsyncIterator[Ear]:
    ear = Ear(**limits)
    try:
        yield ear
    finally:
        ear.worker.close()


def alive(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    return True


def test_jobs_follow_each_other_in_one_process_of_its_own() -> None:
    async def play() -> None:
        async with listening() as ear:
            pids = []
            for i in range(3):
                job = ear.worker.start("pid")
                pids.append((await ear.until("pid", job)).what)
                await ear.until("done", job)
                assert not ear.worker.busy, i
            assert len(set(pids)) == 1
            assert pids[0] == ear.worker.pid != os.getpid()
        assert not alive(pids[0])

    run(play())


def test_a_newer_job_takes_the_place_of_one_that_says_how_far_it_is() -> None:
    async def play() -> None:
        async with listening() as ear:
            slow = ear.worker.start("slow")
            await ear.until("progress", slow)
            pid = ear.worker.pid
            for i in range(50):  # as many as keys are pressed; only the last is done
                last = ear.worker.start("add", i, 1)
            assert (await ear.until("sum", last)).what == 50
            await ear.until("done", last)
            assert ear.worker.pid == pid
            assert [s.job for s in ear.heard if s.kind == "sum"] == [last]
            assert [s.job for s in ear.heard if s.kind == "replaced"] == [slow]

    run(play())


def test_a_newer_job_does_not_wait_for_one_that_hangs() -> None:
    async def play() -> None:
        async with listening(grace=0.3) as ear:
            hangs = ear.worker.start("hang")
            await ear.until("progress", hangs)
            pid = ear.worker.pid
            assert pid is not None
            job = ear.worker.start("add", 2, 3)
            assert (await ear.until("sum", job)).what == 5
            assert ear.worker.pid != pid
            assert not alive(pid)
            assert not [s for s in ear.heard if s.kind == "lost"]

    run(play())


def test_a_job_that_is_stopped_says_nothing_more_and_another_follows() -> None:
    async def play() -> None:
        async with listening(grace=0.3) as ear:
            for kind in ("slow", "hang"):
                job = ear.worker.start(kind)
                await ear.until("progress", job)
                ear.worker.stop()
                assert not ear.worker.busy
                ear.worker.stop()
                last = ear.worker.start("add", 3, 4)
                assert (await ear.until("sum", last)).what == 7
                await ear.until("done", last)
            assert not [s for s in ear.heard if s.kind == "lost"]

    run(play())


def test_a_job_that_hangs_is_killed_and_said_to_be_lost() -> None:
    async def play() -> None:
        async with listening(silence=2.5) as ear:
            job = ear.worker.start("hang")
            await ear.until("progress", job)
            pid = ear.worker.pid
            assert pid is not None
            said = await ear.until("lost", job)
            assert said.what[0] == "silent"
            assert "took too long" in failure(said)[0].message
            assert "nothing was heard of it for 2 s" in failure(said)[0].message
            assert not alive(pid)
            again = ear.worker.start("add", 1, 1)
            assert (await ear.until("sum", again)).what == 2

    run(play())


@pytest.mark.parametrize(
    ("kind", "says"),
    [
        ("exit", "ended unexpectedly"),
        ("fault", "too far"),
        ("defect", "ZeroDivisionError: a defect"),
    ],
)
def test_a_job_that_fails_says_so_and_others_follow(kind: str, says: str) -> None:
    async def play() -> None:
        async with listening() as ear:
            job = ear.worker.start(kind)
            said = await ear.until("faults" if kind == "fault" else "lost", job)
            (fault,) = failure(said)
            assert says in fault.message
            again = ear.worker.start("add", 1, 1)
            assert (await ear.until("sum", again)).what == 2
            assert failure(await ear.until("done", again)) == ()

    run(play())


def test_large_results_come_through() -> None:
    async def play() -> None:
        async with listening() as ear:
            job = ear.worker.start("large", 5_000_000)
            assert len((await ear.until("bytes", job)).what) == 5_000_000

    run(play())
