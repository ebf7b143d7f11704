"""Pages for one person at this machine: served on 127.0.0.1, let in once, closed when idle."""
