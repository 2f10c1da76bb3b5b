"""What is judged without reasons, and is never part of a proof: solutions, their number, puzzles made at random."""
