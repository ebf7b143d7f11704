"""The check that lets a file out; shares no PDF code with what masked it."""
