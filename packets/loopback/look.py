"""The look that pages of ours share: printed paper, plain, legible at arm's length."""

from importlib import resources


def paper_css() -> str:
    """The style sheet: type, colours in light and dark, buttons, focus."""
    return (resources.files("packets.loopback") / "paper.css").read_text(encoding="utf-8")
