"""Surveys: how far levels of patterns go over collections of puzzles, on one core or on a cluster.

>>> from deduce.surveys import survey
>>> made = survey(["..24......1..2..", "1.......2.......", "..24......1..2.."], workers=0)
>>> made
<Survey of puzzles: 3 puzzles, 2 examined, 0 bad records>
>>> coverage = made.coverage()
>>> coverage.counts["puzzles"].valid, coverage.solved["puzzles"]["singles"]
(2, 2)

On a cluster
------------
Nothing changes but the executor.  The surveying process reads, hands out batches, and writes the store, a file on its
own disk; workers need the same version of this package and nothing else, and a survey refuses answers of another one.

With Dask on Kubernetes (``pip install dask-kubernetes``, an image that holds this package)::

    from dask_kubernetes.operator import KubeCluster
    from distributed import Client

    cluster = KubeCluster(name="survey", image="registry/with-deduce-proofs:0.1", n_workers=64)

on SLURM (``pip install dask-jobqueue``; this package in a folder that all nodes see)::

    from dask_jobqueue import SLURMCluster

    cluster = SLURMCluster(cores=32, processes=32, memory="32GB", walltime="08:00:00")
    cluster.scale(64)

and then, on either::

    with Client(cluster) as client, client.get_executor() as executor:
        made = survey("list.txt.zst", executor, "answers.db", workers=64, seconds=60)

Workers should have one thread each, since the work is Python.  `workers` says how many batches are done at a time, and
so how many are kept in flight and how long they are.  A worker that dies costs nothing but time: Dask does its batches
again elsewhere, and a puzzle that kills every worker it meets is found, alone, and reported.  With MPI, give
``mpi4py.futures.MPIPoolExecutor()``.  Clusters of Kubernetes and SLURM are described after their documentation and
have not been tried here; a Dask cluster of local processes with a worker killed in mid-run is in the tests.

What to expect: `benchmarks/coverage.py --rate` measures what a puzzle costs a worker and the surveying process, and
prints the time for up to 10^8 puzzles on up to 512 workers; benchmarks/FIGURES.md holds a table.
"""

from deduce.errors import MissingExtra, SurveyError
from deduce.surveys.coverage import Coverage
from deduce.surveys.crew import Here
from deduce.surveys.levels import REFUTATION_LEVEL, Level, cumulative, with_each, without_each
from deduce.surveys.merging import Merged, StoreConflict, merge
from deduce.surveys.store import Store
from deduce.surveys.survey import Survey, survey

__all__ = ["REFUTATION_LEVEL", "Coverage", "Here", "Level", "Merged", "MissingExtra", "Store", "StoreConflict"]
__all__ += ["Survey", "SurveyError", "cumulative", "merge", "survey", "with_each", "without_each"]
