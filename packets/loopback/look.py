"""The look that pages of ours share: printed paper, plain, legible at arm's length."""

from importlib import resources


def paper_css() -> str:
    """The style sheet: type, colours in light and dark, buttons, focus."""
    return _read("paper.css")


def icon_svg() -> str:
    """The sign in the browser's tab: a sheet of paper."""
    return _read("icon.svg")


def _read(name: str) -> str:
    return (resources.files("packets.loopback") / name).read_text(encoding="utf-8")
