"""The command line: what is typed becomes one call of the workbench, and its answer is shown.

One module a noun (``wood``, ``spot``, ``evening``, ...) with commands of a few lines each;
``read`` turns typed words into values, ``say`` turns values into text for a terminal, ``exits``
says which error leaves with which code. Nothing of ours but the errors is imported before a
command runs, so that ``shivelight --help`` stays light.
"""
