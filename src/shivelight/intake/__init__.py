"""What is in this file, payload or typed line: files and words into plain values, one format each.

Every reader checks what it is given and refuses in one sentence; none touches the field book.
"""
