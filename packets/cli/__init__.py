"""The command line: one short file per command.

`entry.py` is the door and the only place where an error becomes an exit status.
A command takes its options, calls the pipeline, and returns an `Outcome`; it
prints nothing itself. Nothing here is imported before it is asked for, and
nothing here imports a PDF library.
"""
