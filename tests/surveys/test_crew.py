"""Executors of several makes, workers that die, puzzles that take too long, and how much is out at once."""

import itertools
from concurrent.futures import BrokenExecutor, Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor
from multiprocessing import get_context

import pytest
from surveys.lists import four_by_four, small, usual
from surveys.traps import DEADLY, ENDLESS, FAULTY, arm, pretend

from deduce.deadline import within
from deduce.surveys import Here, Level, Store, SurveyError, examine, survey
from deduce.surveys.engine import engine
from deduce.surveys.examine import Report
from deduce.surveys.levels import SINGLES
from deduce.surveys.store import ANSWERS

LADDER = [Level.of("naked", SINGLES[-1:]), Level.of("singles", SINGLES)]
FORK = get_context("fork")


def everything(store):
    return {kind: list(store.rows(kind)) for kind in ANSWERS}


def troubles(made):
    """The texts of the puzzles that met trouble, with the kind of trouble and how many questions it cost."""
    rows = made.store.db.execute(
        "SELECT text, kind, count(*) FROM troubles JOIN puzzles ON puzzles.id = puzzle GROUP BY text, kind ORDER BY 1"
    )
    return [tuple(row) for row in rows]


def forked(workers, *trap):
    """A pool whose workers are set up by a trap, if one is given."""
    initializer, arguments = (arm, trap) if trap else (None, ())
    return ProcessPoolExecutor(workers, mp_context=FORK, initializer=initializer, initargs=arguments)


@pytest.fixture(scope="module")
def plain():
    return everything(survey([*small(30), *usual(10)], workers=0).store)


def loky_executor():
    import loky

    return loky.ProcessPoolExecutor(max_workers=2)


@pytest.mark.parametrize("kind", ["ours", "processes", "spawned", "threads", "loky", "here", "callable"])
def test_the_executor_does_not_show_in_the_rows(plain, kind):
    made_by = {
        "ours": lambda: None,
        "processes": lambda: forked(2),
        "spawned": lambda: ProcessPoolExecutor(2, mp_context=get_context("spawn")),
        "threads": lambda: ThreadPoolExecutor(2),
        "loky": loky_executor,
        "here": Here,
        "callable": lambda: lambda: forked(2),
    }
    executor = made_by[kind]()
    try:
        made = survey([*small(30), *usual(10)], executor, workers=2 if executor is None else None)
        assert everything(made.store) == plain
        assert made.tally.troubles == 0
        if isinstance(executor, Executor):
            # Used unchanged, and left open.
            assert executor.submit(int, "7").result() == 7
    finally:
        if isinstance(executor, Executor):
            executor.shutdown()


@pytest.mark.parametrize("way", ["callable", "given"])
def test_a_deadly_puzzle_is_found_and_the_rest_answered(way):
    """The victim kills its worker and with it everything that is in flight; nothing but the victim is missing."""
    lines = small(30)
    victim = lines[21]
    executor = forked(2, victim, DEADLY)
    made = survey(lines, executor if way == "given" else lambda: forked(2, victim, DEADLY), levels=LADDER, batch=7)
    expected = everything(survey([line for line in lines if line != victim], workers=0, levels=LADDER).store)
    if way == "given":
        # A broken pool is replaced by processes of ours, which the trap does not know.
        assert troubles(made) == []
        assert everything(made.store) == everything(survey(lines, workers=0, levels=LADDER).store)
        with pytest.raises(BrokenExecutor):
            executor.submit(int).result()
    else:
        assert troubles(made) == [(victim, "crashed", 4)]
        assert everything(made.store) == expected
        assert made.tally.troubles == 1
        assert made.coverage().counts["puzzles"].troubles == 1
    executor.shutdown()


def test_trouble_is_kept_and_asked_again_only_on_request(tmp_path):
    lines = small(12)
    path = tmp_path / "kept.db"
    survey(lines, lambda: forked(1, lines[4], DEADLY), store=path, levels=LADDER, batch=3)
    again = survey(lines, workers=0, store=path, levels=LADDER)
    assert (again.tally.examined, len(troubles(again))) == (0, 1)
    retried = survey(lines, workers=0, store=path, levels=LADDER, retry=True)
    assert (retried.tally.examined, troubles(retried)) == (1, [])
    assert everything(retried.store) == everything(survey(lines, workers=0, levels=LADDER).store)


def test_a_search_without_end_is_stopped():
    lines = small(20)
    with forked(1, lines[7], ENDLESS) as executor:
        made = survey(lines, executor, levels=LADDER, seconds=1, batch=6)
    assert troubles(made) == [(lines[7], "overlong", 4)]
    assert len(list(made.store.rows("validity"))) == 19


def test_a_search_without_end_is_stopped_in_a_thread(monkeypatch):
    """As on the workers of some clusters; the thread goes on with the next puzzle."""
    lines = small(20)
    monkeypatch.setattr(examine, "_answers", examine._answers)  # put back afterwards
    arm(lines[7], ENDLESS)
    with ThreadPoolExecutor(1) as executor:
        made = survey(lines, executor, levels=LADDER, seconds=1, batch=6)
        assert executor.submit(int, "7").result() == 7
    assert troubles(made) == [(lines[7], "overlong", 4)]
    assert len(list(made.store.rows("validity"))) == 19


def test_what_was_answered_before_time_ran_out_is_kept(monkeypatch):
    """Time runs out after so many questions for it, in the walks that come after the solutions."""
    line = usual(1, 11)[0]
    asked = itertools.count()
    with monkeypatch.context() as patched:
        patched.setattr(examine, "within", lambda _: within(None, lambda: next(asked) == 5))
        made = survey([line], workers=0, seconds=1000)
    assert [row[-1] for row in made.store.rows("validity")] == ["one"]
    ((text, kind, count),) = troubles(made)
    assert (text, kind) == (line, "overlong")
    assert count == 9
    assert made.coverage().answered["puzzles"]["everything"] == 0
    again = survey([line], workers=0, store=made.store, retry=True)
    assert everything(again.store) == everything(survey([line], workers=0).store)


def test_a_fault_of_the_engine_is_reported_with_its_words():
    lines = small(10)
    made = survey(lines, lambda: forked(1, lines[3], FAULTY), levels=LADDER)
    assert troubles(made) == [(lines[3], "failed", 4)]
    (detail,) = made.store.db.execute("SELECT DISTINCT detail FROM troubles").fetchone()
    assert detail == "ZeroDivisionError: a fault of the engine"


class Refusing(Executor):
    """Takes everything and finishes nothing."""

    def submit(self, fn, /, *args, **kwargs):
        future = Future()
        future.set_exception(OSError("no machine left"))
        return future


def test_an_executor_that_never_works_is_an_error():
    taken = []

    def reading():
        for line in small(30):
            taken.append(line)
            yield line

    with pytest.raises(SurveyError, match=r"no worker brings an answer back \(OSError: no machine left"):
        survey(reading(), Refusing(), levels=LADDER, batch=1, workers=2)
    assert len(taken) < 20, "it goes on reading although nothing comes back"


def test_workers_with_another_engine_are_refused():
    with (
        ProcessPoolExecutor(1, mp_context=FORK, initializer=pretend, initargs=("0.0.9+older",)) as executor,
        pytest.raises(SurveyError, match=r"a worker runs the engine 0\.0\.9\+older"),
    ):
        survey(small(10), executor, levels=LADDER)


class Counting(ThreadPoolExecutor):
    """Knows how many calls are out, and how many there were at most."""

    def __init__(self):
        super().__init__(2)
        self.out = self.most = self.calls = 0

    def submit(self, fn, /, *args, **kwargs):
        self.calls += 1
        self.out += 1
        self.most = max(self.most, self.out)
        future = super().submit(fn, *args, **kwargs)
        future.add_done_callback(lambda _: setattr(self, "out", self.out - 1))
        return future


@pytest.mark.parametrize("in_flight", [1, 3, None])
def test_a_bounded_number_is_in_flight_and_the_input_is_not_read_ahead(in_flight):
    lines = small(120)
    taken = 0
    lead = 0

    def reading():
        nonlocal taken, lead
        for line in lines:
            taken += 1
            lead = max(lead, taken - done())
            yield line

    with Counting() as executor, Store() as store:

        def done():
            return store.db.execute("SELECT count(*) FROM validity").fetchone()[0]

        survey(reading(), executor, store, levels=LADDER, batch=4, in_flight=in_flight)
        assert executor.calls == 30
        assert executor.most <= (in_flight or 6)
        assert lead <= ((in_flight or 6) + 1) * 4


class Sizes(ThreadPoolExecutor):
    """Knows how many puzzles each call had."""

    def __init__(self):
        super().__init__(2)
        self.sizes = []

    def submit(self, fn, /, *args, **kwargs):
        self.sizes.append(len(args[0].puzzles))
        return super().submit(fn, *args, **kwargs)


@pytest.fixture
def quick_work(monkeypatch):
    """Answers at no cost, and times that say a millisecond for each puzzle."""

    def at_once(job):
        times = dict.fromkeys((asked.puzzle for asked in job.puzzles), 1000)
        return Report(engine(), 1, [], [], times)

    monkeypatch.setattr("deduce.surveys.crew.examine", at_once)


def test_batches_grow_to_half_a_second_of_work(quick_work):
    lines = four_by_four(4000)
    with Sizes() as executor:
        survey(iter(lines), executor, levels=LADDER)
    assert sum(executor.sizes) == 4000
    assert executor.sizes[0] == 16
    assert max(executor.sizes) == 500


def test_many_workers_get_longer_batches(quick_work):
    """With a thousand workers that each took half a second, two thousand batches a second would be handed out."""
    with Sizes() as executor:
        survey(iter(four_by_four(8000)), executor, workers=75, in_flight=3, levels=LADDER)
    assert sum(executor.sizes) == 8000
    assert max(executor.sizes) == 1500


def test_batches_shrink_towards_a_known_end(quick_work):
    lines = four_by_four(4000)
    with Sizes() as executor:
        survey(lines, executor, levels=LADDER)
    assert sum(executor.sizes) == 4000
    assert max(executor.sizes) > 300
    assert max(executor.sizes[-3:]) <= 500 // 16 + 1
    assert len(executor.sizes) < 60


@pytest.mark.parametrize("options", [{"workers": -1}, {"in_flight": 0}, {"batch": 0}, {"seconds": 0}, {"levels": []}])
def test_senseless_numbers_are_refused(options):
    with pytest.raises(ValueError, match="give"):
        survey(small(1), **options)


def test_no_puzzles_at_all():
    made = survey([], workers=2)
    assert (made.tally.records, made.tally.examined) == (0, 0)
    assert "puzzles" in made.coverage().text()
