"""All that touches disk, clock and terminal; thin."""
