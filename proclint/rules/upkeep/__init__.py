"""Keeping the library: reviews, pins, what is left over."""
