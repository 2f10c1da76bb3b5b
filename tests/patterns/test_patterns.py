"""Finding patterns: names, order, and stories that are what their names say."""

import re
from dataclasses import replace

import pytest

import deduce
from deduce.errors import PatternError
from deduce.patterns import NAMES, UNIQUE, fault
from deduce.patterns.singles import SINGLES
from deduce.patterns.vocabulary import VOCABULARY
from deduce.proof import Chain, Pattern, Role
from deduce.solving.generate import minimal_puzzle

SEEDS = (33, 62, 909)


def positions():
    """Positions of hard walks: the first, and each one before a step that is no single."""
    for seed in SEEDS:
        walk = deduce.walk(minimal_puzzle(seed))
        yield walk.start
        for step in walk.steps:
            if step.proof.pattern.name not in SINGLES:
                yield step.before


@pytest.fixture(scope="module")
def proofs():
    return [proof for grid in positions() for proof in deduce.find(grid)]


def test_every_story_is_what_its_name_says(proofs):
    assert [(proof, fault(proof)) for proof in proofs if fault(proof) is not None] == []
    assert len({proof.pattern.name for proof in proofs}) >= 20


def test_every_proof_passes_the_kernel(proofs):
    for proof in proofs:
        checked = deduce.check(proof.grid, proof)
        gone = {proof.grid.number(c) for c in proof.eliminates}
        placed = {proof.grid.number(c) for c in proof.places}
        assert gone or placed
        assert not any(checked.after.live >> c & 1 for c in gone)
        assert all(checked.after.true >> c & 1 for c in placed)


def test_a_story_told_with_a_wrong_role_is_faulted(proofs):
    """Change one item of one role to a neighbour: the definition must notice, whatever the role is."""
    unnoticed = set()
    tried = 0
    for name in sorted({proof.pattern.name for proof in proofs}):
        proof = next(proof for proof in proofs if proof.pattern.name == name)
        for i, role in enumerate(proof.pattern.roles):
            items = (role.items[0] + 1, *role.items[1:])
            roles = (*proof.pattern.roles[:i], replace(role, items=items), *proof.pattern.roles[i + 1 :])
            tried += 1
            if fault(replace(proof, pattern=replace(proof.pattern, roles=roles))) is None:
                unnoticed.add((name, role.name))
    assert tried > 40
    assert unnoticed == set()


def test_a_story_without_its_roles_or_chain_is_faulted(proofs):
    for name in sorted({proof.pattern.name for proof in proofs}):
        proof = next(proof for proof in proofs if proof.pattern.name == name)
        assert fault(replace(proof, pattern=Pattern(name))) is not None, name
        far = tuple(Role(role.name, role.kind, tuple(10**6 for _ in role.items)) for role in proof.pattern.roles)
        if far:
            assert fault(replace(proof, pattern=replace(proof.pattern, roles=far))) is not None, name


def test_a_chain_with_a_damaged_link_is_faulted(proofs):
    seen = set()
    for proof in proofs:
        chain, name = proof.pattern.chain, proof.pattern.name
        if chain is None or name in seen:
            continue
        seen.add(name)
        for i, link in enumerate(chain.links):
            wrong = replace(link, constraints=tuple(number + 1 for number in link.constraints))
            other = replace(link, strong=not link.strong)
            for damaged in (wrong, other, replace(link, constraints=())):
                links = (*chain.links[:i], damaged, *chain.links[i + 1 :])
                pattern = replace(proof.pattern, chain=Chain(chain.nodes, links, chain.loop))
                assert fault(replace(proof, pattern=pattern)) is not None, (name, i, damaged)
    assert len(seen) >= 8


def test_a_story_from_another_position_is_faulted(proofs):
    empty = deduce.Grid.empty()
    for name in sorted({proof.pattern.name for proof in proofs}):
        proof = next(proof for proof in proofs if proof.pattern.name == name)
        assert fault(proof, empty) is not None, name


def test_find_is_ordered_and_repeats_no_argument(proofs):
    for grid in list(positions())[:12]:
        found = list(deduce.find(grid))
        # Pairs, triples and groups that point, or claim, are one search, as are the chains over every link.
        names = [re.sub(r"(pointing|claiming) \w+", r"\1 pair", proof.pattern.name) for proof in found]
        ranks = [NAMES.index(name) for name in names if not name.startswith("chain ")]
        assert ranks == sorted(ranks)
        assert len({proof.inferences for proof in found}) == len(found)
        assert [p.inferences for p in deduce.find(grid)] == [p.inferences for p in found]


def test_find_keeps_to_its_allowlist():
    grid = next(iter(positions()))
    for name in NAMES:
        found = deduce.find(grid, [name], assume_unique=name in UNIQUE)
        assert {proof.pattern.name for proof in found} <= {name}
    assert list(deduce.find(grid, [])) == []


def test_unknown_names_are_refused_with_what_looks_like_them():
    grid = deduce.Grid.empty()
    with pytest.raises(PatternError, match="did you mean 'skyscraper'") as caught:
        deduce.find(grid, ["skyscrapr"])
    assert caught.value.known[: len(NAMES)] == NAMES
    assert {*VOCABULARY} <= {*caught.value.known}
    assert isinstance(caught.value, deduce.DeduceError)
    assert isinstance(caught.value, ValueError)
    with pytest.raises(PatternError, match="the names are: last open cell"):
        deduce.find(grid, ["zzz"])
    with pytest.raises(TypeError, match="give a list of names"):
        deduce.find(grid, "skyscraper")


def test_an_impossible_position_yields_contradictions_only():
    grid = deduce.Grid.parse("12.......34.......55" + "." * 61)
    found = list(deduce.find(grid))
    assert found
    for proof in found:
        assert proof.pattern.name == "contradiction"
        assert proof.contradiction
        assert proof.conclusion() == "contradiction"
        assert deduce.check(grid, proof).contradiction
        assert fault(proof) is None
    assert {str(finding.constraint) for finding in grid.status()} == {
        grid.model.constraints[(*proof.inferences[0].argument.bases, *proof.inferences[0].argument.covers)[0][0]].name
        for proof in found
    }
    assert fault(replace(found[0], grid=deduce.Grid.empty())) == "every rule can still be met"


def test_premises_effort_and_depth(proofs):
    (model,) = {proof.grid.model for proof in proofs}
    names = {constraint.name for constraint in model.constraints}
    for proof in proofs:
        assert proof.depth == 0
        assert not proof.assumes_unique
        assert proof.premises
        assert set(proof.premises) <= names
        assert proof.effort >= len(proof.premises)
        assert proof.assumes == ()


def test_what_a_proof_rests_on_is_needed_and_enough(proofs):
    """With every other ruled-out candidate live again the proof still holds; with one of its own it does not."""
    for proof in proofs[::7]:
        grid = proof.grid
        rests = sum(1 << grid.number(candidate) for candidate in proof.rests_on)
        loose = deduce.Grid(grid.layout, grid.layout.every & ~rests, 0, 0)
        if not any(
            proof.grid.true >> c & 1
            for i in proof.inferences
            for b, _ in i.argument.covers
            for c, _ in grid.model.constraints[b].terms
        ):
            deduce.check(loose, proof)
        for candidate in proof.rests_on:
            again = deduce.Grid(grid.layout, grid.live | 1 << grid.number(candidate), grid.true, grid.givens)
            with pytest.raises(deduce.ProofError):
                deduce.check(again, proof)
