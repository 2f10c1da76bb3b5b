"""A real Dask cluster on this machine: workers killed in mid-run, and a puzzle that kills every worker it meets."""

import logging
import os
import signal

import pytest
from surveys.lists import small, usual

from deduce.surveys import Level, survey
from deduce.surveys.levels import SINGLES
from deduce.surveys.store import ANSWERS

LADDER = [Level.of("naked", SINGLES[-1:]), Level.of("singles", SINGLES)]

# When a worker has been killed, Python may warn of Dask's half of the connection to it, whenever that is collected.
pytestmark = pytest.mark.filterwarnings("ignore::ResourceWarning", "ignore::pytest.PytestUnraisableExceptionWarning")


def everything(store):
    return {kind: list(store.rows(kind)) for kind in ANSWERS}


@pytest.fixture
def client(tmp_path):
    """A client of a cluster of two processes with one thread each, without a dashboard."""
    import dask
    from distributed import Client, LocalCluster

    settings = {
        "temporary-directory": str(tmp_path),
        "distributed.scheduler.allowed-failures": 1,
        "distributed.comm.timeouts.connect": "60s",
    }
    with (
        dask.config.set(settings),
        LocalCluster(
            n_workers=2, threads_per_worker=1, dashboard_address=None, silence_logs=logging.CRITICAL
        ) as cluster,
        Client(cluster) as client,
    ):
        yield client


def test_a_worker_killed_in_mid_run_loses_nothing(client):
    lines = [*usual(40), *small(40)]
    victim = next(iter(client.run(os.getpid).values()))
    killed = []

    def reading():
        for number, line in enumerate(lines):
            if number == 50:
                os.kill(victim, signal.SIGKILL)
                killed.append(victim)
            yield line

    with client.get_executor() as executor:
        made = survey(reading(), executor, workers=2, batch=4)
    assert killed
    assert made.tally.troubles == 0
    assert len(made.tally.workers) >= 2
    assert everything(made.store) == everything(survey(lines, workers=0).store)
    assert victim not in client.run(os.getpid).values()


@pytest.mark.thorough
def test_a_puzzle_that_kills_its_workers_is_found(client):
    from distributed import WorkerPlugin
    from surveys.traps import DEADLY, arm

    lines = small(30)

    class Trap(WorkerPlugin):
        """Arms every worker, new ones too."""

        def setup(self, worker):
            arm(lines[13], DEADLY)

    client.register_plugin(Trap())
    with client.get_executor() as executor:
        made = survey(lines, executor, workers=2, levels=LADDER, batch=5)
    found = made.store.db.execute("SELECT DISTINCT text, kind FROM troubles JOIN puzzles ON puzzles.id = puzzle")
    assert [tuple(row) for row in found] == [(lines[13], "crashed")]
    kept = [line for line in lines if line != lines[13]]
    assert everything(made.store) == everything(survey(kept, workers=0, levels=LADDER).store)
