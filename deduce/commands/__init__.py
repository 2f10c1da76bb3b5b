"""The commands of the command line, one module for each family; thin: they call the library and print."""
