"""What pages of ours share: a look of printed paper, and the watch over whether one is there."""

from importlib import resources


def paper_css() -> str:
    """The style sheet: type, colours in light and dark, buttons, focus."""
    return _read("paper.css")


def icon_svg() -> str:
    """The sign in the browser's tab: a sheet of paper."""
    return _read("icon.svg")


def here_js() -> str:
    """The script that tells whether somebody is here; it defines `keepHere`."""
    return _read("here.js")


def _read(name: str) -> str:
    return (resources.files("packets.loopback") / name).read_text(encoding="utf-8")
