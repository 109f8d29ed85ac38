"""The engine that evaluates on the workers of a Dask scheduler (distributed.dask.org), on any machines.

Workers get a study with each piece and keep nothing that counts: one that is lost loses nothing. Dask
has no authentication unless its TLS is set up; who reaches a scheduler can run code on its workers.
"""

from __future__ import annotations

import asyncio
import contextlib
import pickle
import queue
import time
import uuid
from collections.abc import Iterable, Iterator, Sequence
from concurrent import futures
from functools import lru_cache
from typing import TYPE_CHECKING, Final, Self

from frame3d.errors import Fault
from frame3d.explore.engines.engine import EngineError, LeftOut, Make, engine_error
from frame3d.explore.engines.ordered import Ordered, Piece
from frame3d.explore.engines.pace import TARGET, Pace, Paces
from frame3d.explore.engines.work import Evaluators, Worked, work
from frame3d.explore.evaluate.evaluation import Evaluation
from frame3d.explore.study.study import Design, Study
from frame3d.version import __version__

if TYPE_CHECKING:
    from distributed import Client, Future

PATIENCE: Final = 10.0
"""Time that a scheduler has to answer, and to have a worker [s]."""
_AHEAD: Final = 2
"""Pieces for each worker that are handed to the scheduler, so that none waits for the next one."""
_WINDOW: Final = 4
"""Pieces for each worker that may be on their way, or wait for an earlier one."""
_LOOK: Final = 5.0
"""How often workers are counted [s]: they may come and go."""
_FETCH: Final = 2.0
"""Time that a result has to come from its worker [s]; doubled each time that it does not."""
_TRIES: Final = 5
_TLS: Final = tuple(
    f"DASK_DISTRIBUTED__COMM__TLS__{name}" for name in ("CA_FILE", "CLIENT__CERT", "CLIENT__KEY")
)
"""What Dask takes a client's certificates from."""
_LOST: Final = "start it again and run the same once more: what was found is kept"


class DaskCluster:
    """Evaluates on the workers of a scheduler, which it leaves when it is closed."""

    def __init__(
        self, make: Make, address: str, *, target: float = TARGET, patience: float = PATIENCE
    ) -> None:
        """Prepare the engine; the first run connects.

        Args:
            make: what makes evaluators.
            address: of the scheduler, ``tcp://host:8786`` or, with Dask's TLS set up, ``tls://…``.
            target: time that a piece is to take [s].
            patience: time that the scheduler has to answer, and to have a worker [s].
        """
        self.make, self.address = make, address
        self.patience = patience
        self._paces = Paces(target)
        self.left_out: list[LeftOut] = []
        self._client: Client | None = None
        self._done: queue.Queue[Future] = queue.Queue()
        self._flight: dict[Future, Piece] = {}
        self._held: Piece | None = None
        """A piece to be tried alone, when all others have come back."""
        self._workers = 1
        self._counted = 0.0

    def run(self, study: Study, designs: Iterable[Sequence[Design]]) -> Iterator[list[Evaluation]]:
        """Yield results; see `frame3d.explore.engines.engine.Engine.run`."""
        client = self._connected()
        payload = pickle.dumps((self.make, study))
        pace = self._paces.of(study, self._workers)
        ordered = Ordered(pace.pieces(designs), _WINDOW * self._workers)
        try:
            while True:
                self._hand_out(client, payload, ordered)
                for found in ordered.done():
                    self.left_out += found.left_out
                    yield list(found.evaluations)
                self._hand_out(client, payload, ordered)
                if ordered.is_empty:
                    return
                self._listen(client, payload, ordered, pace)
        finally:
            under_way = list(self._flight)
            self._flight.clear()
            self._held = None
            with contextlib.suppress(Exception):
                client.cancel(under_way)

    def close(self) -> None:
        """Leave the scheduler, which goes on, and so do its workers."""
        client, self._client = self._client, None
        if client is not None:
            with contextlib.suppress(OSError, TimeoutError):
                client.close(timeout=self.patience)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *error: object) -> None:
        self.close()

    def _connected(self) -> Client:
        """Return the client, connected to a scheduler with workers that suit.

        Raises:
            EngineError: there is none.
        """
        if self._client is None:
            self._client = _client(self.address, self.patience)
            try:
                self._client.wait_for_workers(1, timeout=self.patience)
            except (TimeoutError, OSError):
                self.close()
                raise engine_error(
                    f"the scheduler at {self.address} has no workers",
                    f"start some: dask worker {self.address} --nthreads 1",
                ) from None
        self._count(self._client)
        return self._client

    def _count(self, client: Client) -> None:
        """Count workers.

        Raises:
            EngineError: one has several threads, which would share what an evaluator keeps.
        """
        threads = client.nthreads()
        if any(count > 1 for count in threads.values()):
            worker = min(name for name, count in threads.items() if count > 1)
            raise engine_error(
                f"the worker {worker} has {threads[worker]} threads, one is wanted",
                "start workers with --nthreads 1, and as many as there are processors: --nworkers",
            )
        self._workers = max(1, len(threads))
        self._counted = time.monotonic()

    def _hand_out(self, client: Client, payload: bytes, ordered: Ordered) -> None:
        """Hand pieces to the scheduler; one that is tried again only while it has no other."""
        while len(self._flight) < _AHEAD * self._workers:
            if any(piece.is_second for piece in self._flight.values()):
                return
            piece = ordered.take() if self._held is None else self._held
            if piece is None:
                return
            self._held = piece if piece.is_second and self._flight else None
            if self._held is not None:
                return
            self._submit(client, payload, piece)

    def _listen(self, client: Client, payload: bytes, ordered: Ordered, pace: Pace) -> None:
        """Wait until a piece has come back."""
        if time.monotonic() - self._counted > _LOOK:
            with contextlib.suppress(OSError, TimeoutError):
                self._count(client)
            pace.workers, ordered.window = self._workers, _WINDOW * self._workers
        try:
            future = self._done.get(timeout=_LOOK)
        except queue.Empty:
            if client.status in ("closed", "closing"):
                raise _lost(self.address) from None
            return
        piece = self._flight.pop(future, None)
        if piece is None:  # of an earlier run
            return
        try:
            found = self._result(client, future, _FETCH * 2**piece.tries)
        except TimeoutError:  # its worker was lost before it gave the result away
            piece.tries += 1
            if piece.tries > _TRIES:
                raise _lost(self.address) from None
            self._submit(client, payload, piece)
            return
        if found is None:
            ordered.lost(piece)
        else:
            piece.found = found.or_fault()
            pace.took(len(piece.designs), found.seconds)

    def _submit(self, client: Client, payload: bytes, piece: Piece) -> None:
        key = f"frame3d-{uuid.uuid4().hex}"
        future = client.submit(evaluate_piece, payload, piece.designs, key=key, pure=False)
        self._flight[future] = piece
        future.add_done_callback(self._done.put)

    def _result(self, client: Client, future: Future, patience: float) -> Worked | None:
        """Return what a piece gave; None where workers were lost with it.

        Raises:
            TimeoutError: the worker that has it does not give it away in time [s].
            EngineError: the scheduler was lost, or its workers cannot evaluate.
        """
        from distributed import KilledWorker

        try:
            version, found = future.result(timeout=patience)
        except KilledWorker:
            return None
        except (OSError, futures.CancelledError, asyncio.CancelledError):
            if client.status != "running":
                raise _lost(self.address) from None
            raise TimeoutError from None
        except Exception as error:
            raise EngineError(
                Fault(
                    "engine",
                    "",
                    f"workers of {self.address} cannot evaluate: {type(error).__name__}: {error}",
                    f"install frame3d {__version__} with the extra dask on every machine",
                )
            ) from error
        if version != __version__:
            raise engine_error(
                f"workers of {self.address} have frame3d {version}, this is {__version__}",
                "install the same version on every machine",
            )
        assert isinstance(found, Worked)
        return found


def _client(address: str, patience: float) -> Client:
    """Return a client of a scheduler.

    Raises:
        EngineError: Dask is missing, or the scheduler does not answer.
    """
    try:
        from distributed import Client
    except ImportError:
        raise EngineError(
            Fault(
                "dependency",
                "",
                "an engine on other machines needs Dask",
                "install it: pip install 'frame3d[dask]'",
            )
        ) from None
    try:
        with futures.ThreadPoolExecutor(1) as aside:  # a loop of its own: callers may be in one
            aside.submit(asyncio.run, _greet(address, patience)).result()
        return Client(address, timeout=patience, set_as_default=False, name="frame3d")
    except (OSError, TimeoutError, ValueError, TypeError, RuntimeError) as error:
        way = "start one, dask scheduler, and give the address that it tells"
        if address.startswith("tls:"):
            way += f"; name certificates that it trusts in {', '.join(_TLS)}"
        raise engine_error(
            f"no scheduler answers at {address} within {patience:g} s", f"{way} ({error})"
        ) from None


async def _greet(address: str, patience: float) -> None:
    """Ask a scheduler who it is: a client would wait for ever for what takes a call and is silent.

    Raises:
        OSError: it does not answer in time, or is none.
    """
    from distributed.core import rpc
    from distributed.security import Security

    secured = Security().get_connection_args("client") if address.startswith("tls:") else None
    scheduler = rpc(address, timeout=patience, connection_args=secured)
    try:
        said = await asyncio.wait_for(scheduler.identity(), patience)
    finally:
        await scheduler.close_rpc()
    if said.get("type") != "Scheduler":
        raise OSError(f"it is a {said.get('type')}")


def _lost(address: str) -> EngineError:
    return engine_error(f"the scheduler at {address} was lost", _LOST)


def evaluate_piece(payload: bytes, designs: tuple[Design, ...]) -> tuple[str, Worked]:
    """Return the version of frame3d and the results of designs; runs on a worker.

    Args:
        payload: what makes evaluators, and the study, pickled.
        designs: to evaluate.
    """
    make, study, evaluators = _unpacked(payload)
    return __version__, work(evaluators, make, study, designs)


@lru_cache(maxsize=1)
def _unpacked(payload: bytes) -> tuple[Make, Study, Evaluators]:
    make, study = pickle.loads(payload)
    return make, study, Evaluators()
