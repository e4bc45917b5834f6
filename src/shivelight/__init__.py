"""Shivelight: which of your woodland spots suits the coming mornings, why, and how sure.

Import the room that answers your question (``shivelight.sky``, ``shivelight.land``,
``shivelight.wood``, ``shivelight.air``, ``shivelight.light``, ``shivelight.outing``), or
``shivelight.workbench`` for the whole job over a field book.
"""

__version__ = "0.1.0"
