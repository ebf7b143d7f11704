"""Pages on which a person looks at packets before they leave, open until nobody is there.

In this order: what the command was given is judged; the door is opened on this
machine alone; the pages read every folder anew for every page they show; what was
under way when they end is ended where it does no harm, as a build at any moment.
"""

from collections.abc import Callable

from packets.base.errors import UsageError
from packets.base.progress import Progress, Step, silent
from packets.decisions.desk import Desk
from packets.intake.titles import known_categories
from packets.loopback.admission import Admission
from packets.loopback.gate import Gate
from packets.loopback.presence import Presence
from packets.loopback.serving import Ending, Serving, free_port
from packets.recipe.shelf import find_recipe, recipe_names
from packets.recipe.text_file import shown_path
from packets.review.application import application
from packets.review.records import ReviewRequest
from packets.review.room import Room
from packets.signatures.known_lines import known_places

Announce = Callable[[str], None]
"""Tells the person at the command line where the pages are."""


def review(request: ReviewRequest, announce: Announce, progress: Progress = silent) -> Ending:
    """Serve the pages to their end; say why they ended.

    Raises UsageError where there is no client folder at or under the place. The
    interrupt key ends the pages and goes on to the caller.
    """
    root = request.place.resolve()
    desk = Desk(request.office, request.key_password_file)
    room = Room(root, _recipe(request.recipe), request.idle_minutes, desk)
    try:
        if not room.rows():
            raise UsageError(
                "there is no client folder here",
                where=shown_path(request.place),
                remedy="Give a client folder, or a folder that holds some; "
                "`packets new` lays one out.",
            )
        progress(Step("waiting for a person to look", shown_path(request.place)))
        return _served(room, announce)
    finally:
        room.close()


def _recipe(name_or_path: str) -> str:
    """The recipe as builds record it: a name, or an absolute path. Raises what its loading does."""
    if not name_or_path:
        return ""
    loaded = find_recipe(name_or_path, known_categories(), known_places())
    shipped = name_or_path in recipe_names()
    return name_or_path if shipped else str(loaded.path.absolute())


def _served(room: Room, announce: Announce) -> Ending:
    presence = Presence(room.idle_minutes * 60)
    with free_port() as (listener, port):
        admission, serving = Admission(port), Serving(presence)
        announce(admission.address)
        return serving.run(Gate(application(room, serving.stop), admission, presence), listener)
