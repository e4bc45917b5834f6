"""What may be typed about a wood, a spot, the kit, an evening, a log: one table for every shell.

A field's key is the value's name in the field book; the command line shows its flag, the page its
label. Both read and write it with the same functions, so they cannot disagree.
"""
