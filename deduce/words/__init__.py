"""Every sentence that a person reads, one package a language."""
