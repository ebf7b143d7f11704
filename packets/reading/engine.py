"""MuPDF's own voice."""

import pymupdf


def quiet_engine() -> None:
    """Keep MuPDF from printing to standard output and error.

    Its messages quote names from the page, and standard output belongs to
    `--json`. Problems reach us as exceptions all the same.
    """
    pymupdf.TOOLS.mupdf_display_errors(False)
    pymupdf.TOOLS.mupdf_display_warnings(False)
