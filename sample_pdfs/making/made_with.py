"""Says with which versions of the drawing libraries the committed files were made.

The same script gives the same bytes only with the same encoders of PNG, JPEG, TIFF and PDF.
"""

from importlib.metadata import version

LIBRARIES = ("pikepdf", "pillow", "reportlab", "zxing-cpp")


def versions() -> dict[str, str]:
    """The versions installed here."""
    return {name: version(name) for name in LIBRARIES}


def made_with() -> bytes:
    """The same as a TOML file."""
    return "".join(f'{name} = "{number}"\n' for name, number in versions().items()).encode()
