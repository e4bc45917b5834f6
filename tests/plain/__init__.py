"""Slow, obvious twins of the compiled loops, compared on random input."""
