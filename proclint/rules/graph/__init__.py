"""Where the ways of a procedure lead."""
