"""Copy A of a wage or payer's statement: the page that goes to the agency itself.

It may not be truncated (26 CFR 301.6109-4(b)(2)(iii)). The other copies of the
same form look like it, and notes about the form speak of `Copy A` as well; the
page itself says whom it is for.
"""

import re

from packets.intake.page_view import PageView, folded_data

_STATEMENTS = re.compile(r"(?:w-2|1097|1098|1099|5498|3921|3922|1042-s)(?![0-9])")
"""Categories of forms that come in copies."""
_COPY = "copy a"
_FOR_SSA = "for social security administration"
_CENTER = ("internal revenue", "service center")
_SPOKEN_OF = (
    "of", "with", "to", "and", "or", "as", "if", "is", "on", "by", "in", "from", "must", "may",
    "only", "appears", "downloaded", "for each", "for informational",
)  # fmt: skip
"""Words behind `Copy A` in notes about it."""


def is_copy_for_agency(view: PageView, category: str) -> bool:
    """Whether a page of this category is the copy for the SSA or the IRS."""
    if not _STATEMENTS.match(category):
        return False
    text = view.folded

    def same(words: str) -> str:
        return folded_data(words, by_ocr=view.by_ocr)

    center = all(same(words) in text for words in _CENTER)
    at = text.find(same(_COPY))
    while at >= 0:
        end = at + len(_COPY)
        after = text[end:].lstrip(" -")
        if after.startswith(same(_FOR_SSA)):
            return True
        spoken_of = any(re.match(rf"{re.escape(same(word))}\b", after) for word in _SPOKEN_OF)
        if center and not spoken_of and not text[end : end + 1].isalnum():
            return True
        at = text.find(same(_COPY), end)
    return False
