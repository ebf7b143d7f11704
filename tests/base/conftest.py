"""Laws are judged by their outcome, never by the clock of a busy machine."""

from hypothesis import settings

settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")
