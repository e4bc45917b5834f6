"""What does the field book hold? One SQLite file, opened, read, written, copied and exported.

Values go in and come out as the frozen dataclasses of the rooms below; all SQL of Shivelight is
here, one module per kind of thing. Only the workbench opens it.
"""
