"""Threads: whatever runs beside it, a call answers as it does alone, on layouts that all of them share."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from multiprocessing import get_context
from threading import Barrier

import pytest

import deduce
from deduce.exchange import Document, to_clausal, verify
from deduce.patterns import fault

RULED = "grid 4\ncage r1c1-r1c2 = 3\ncage r2c1 r2c2 r3c2 = 8\nodd r4c4 r1c2"
PUZZLES = ("..24......1..2..", "1....2....3....4", "12.........3..4.", "...1..2.3.......")
NINE = "..9.287..8.6..4..5..3.....46.........2.71345.........23.....5..9..4..8.7..125.3.."


@pytest.fixture
def hasty() -> Iterator[None]:
    before = sys.getswitchinterval()
    sys.setswitchinterval(1e-6)
    yield
    sys.setswitchinterval(before)


def walked(text: str) -> str:
    """Everything of a walk that can be told: steps, words, document, verdicts."""
    grid = deduce.Grid.parse(text)
    walk = deduce.walk(grid)
    document = Document.from_json(walk.to_json())
    verdicts = [step.judgement for step in verify(document, fault)]
    return f"{walk.words()} {walk.to_json()} {verdicts} {[step.proof.premises for step in walk.steps]}"


def ruled(number: int) -> str:
    """The same for a layout that is made anew under a name of its own, so that all that is worked out of it is new."""
    layout = deduce.Layout.parse(f"{RULED}\nsymbols {'ABCD1234'[number : number + 4]}")
    walk = deduce.walk(deduce.Grid.empty(layout))
    files = to_clausal(Document.of_walk(walk))
    assert all(step.before.model is layout.model for step in walk.steps)
    return f"{walk.to_json()} {files.formula} {files.proof}"


def at_once(work: Callable[[], str], threads: int = 6) -> set[str]:
    start = Barrier(threads)

    def run() -> str:
        start.wait()
        return work()

    with ThreadPoolExecutor(threads) as pool:
        return {future.result() for future in [pool.submit(run) for _ in range(threads)]}


@pytest.mark.usefixtures("hasty")
@pytest.mark.parametrize("number", range(3))
def test_threads_that_make_the_same_layout_agree(number: int) -> None:
    at_the_same_time = at_once(lambda: ruled(number))
    assert at_the_same_time == {ruled(number)}


@pytest.mark.usefixtures("hasty")
def test_threads_share_one_model_of_a_layout() -> None:
    for number in range(20):
        layout = deduce.Layout(6, region_kind=f"kind {number}")
        assert len(at_once(lambda layout=layout: str(id(layout.model)))) == 1  # type: ignore[misc]
        assert at_once(lambda layout=layout: str(layout.peers)) == {str(layout.peers)}  # type: ignore[misc]


@pytest.mark.usefixtures("hasty")
def test_threads_walk_different_puzzles_side_by_side() -> None:
    texts = [*PUZZLES, NINE] * 2
    with ThreadPoolExecutor(len(texts)) as pool:
        found = list(pool.map(walked, texts))
    assert found == [walked(text) for text in texts]


def test_processes_answer_alike() -> None:
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as pool:
        assert list(pool.map(walked, PUZZLES)) == [walked(text) for text in PUZZLES]


def test_grids_walks_and_proofs_go_between_processes() -> None:
    grid = deduce.Grid.empty(deduce.Layout.parse(RULED))
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as pool:
        walk = pool.submit(deduce.walk, grid).result()
    assert [step.proof for step in walk.steps] == [step.proof for step in deduce.walk(grid).steps]
    for step in walk.steps:
        deduce.check(step.before, step.proof)
