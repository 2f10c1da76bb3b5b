"""Plain English: every sentence that a person reads, and the written chain."""
