"""Load, compute, save: one method for each thing a photographer does with the field book.

``with Workbench.open("book.sqlite") as bench: bench.judge(...)``; the class is in
``shivelight.workbench.bench``. Shells (command line, web) parse, call one of these and show.
"""
