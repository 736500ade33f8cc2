"""Whether a file can be read, and has the form of a procedure."""
