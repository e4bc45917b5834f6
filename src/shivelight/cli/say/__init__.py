"""Answers as text for a terminal: one module a noun, each a pure function of value and width."""
