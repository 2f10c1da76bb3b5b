"""Proofs to and from other tools: JSON documents, on one line where wanted, and standard proof formats.

A `Document` is a puzzle with the steps made on it.  It is written and read as JSON (`schema` returns the JSON Schema of
the form), judged step by step by `verify`, and exported for checkers that know nothing of this library:
`to_pseudo_boolean` writes an OPB file with a pseudo-Boolean proof, `to_clausal` a DIMACS formula with an LRAT or DRAT
proof.  `python -m deduce check`, `export` and `schema` do the same on the command line.

Checking an export outside
--------------------------
The proofs are derivations: they end without a verdict on the formula unless the document ends in a contradiction.  Each
conclusion of a step is a unit clause of the LRAT or DRAT file, and is compared with its line (``e``) in the
pseudo-Boolean proof.  Two checkers can be had from the Python package index and follow every export in the tests of
this project: ``dratify`` and ``drup``.  Others are built from source by whoever wants a further opinion:

=============  ======================  ===============================================================
checker        reads                   run, and what says yes
=============  ======================  ===============================================================
``drat-trim``  ``.cnf`` ``.drat``      ``drat-trim x.cnf x.drat -f -U``; prints ``s DERIVATION`` (exit code 1)
``lrat-trim``  ``.cnf`` ``.lrat``      ``lrat-trim -S x.cnf x.lrat``; exit code 0, or 20 for a contradiction
``cake_lpr``   ``.cnf`` ``.lrat``      ``cake_lpr x.cnf x.lrat``; read what it prints, not its exit code
``veripb``     ``.opb`` ``.pbp``       ``veripb x.opb x.pbp``; prints that the verification succeeded
=============  ======================  ===============================================================

All four have accepted these exports, run by hand: ``veripb`` (0.3a0) the proofs in version 1.2 of its format
(``--proof-version 1.2``), the others the clauses as they are written.  Version 3.0 of the pseudo-Boolean format, the
default, was held against its grammar only, and translated into version 1.2 line by line.  The tests of this project run
none of the four.

Where a rule is a sum, the formula spells it out in clauses with variables of their own, which mean that the rest of
the sum has to reach so much.  No package is asked for that: none knows that a cell holds one digit, without which walks
over cages took a hundred times longer, and the one for weighted sums would be one more compiled package.

Give a checker of clauses the formula of the puzzle and nothing else: with a clause against the known solution added,
the formula is contradictory, and anything would follow.
"""

from deduce.exchange.clausal import to_clausal
from deduce.exchange.document import Document, proof_from_json, proof_from_line, proof_to_json, proof_to_line, schema
from deduce.exchange.layouts import layout_from_json, layout_to_json
from deduce.exchange.pseudo_boolean import ProofFiles, to_pseudo_boolean
from deduce.exchange.verify import JudgedStep, Judgement, verify

__all__ = ["Document", "JudgedStep", "Judgement", "ProofFiles", "layout_from_json", "layout_to_json"]
__all__ += ["proof_from_json", "proof_from_line", "proof_to_json", "proof_to_line", "schema", "to_clausal"]
__all__ += ["to_pseudo_boolean", "verify"]
