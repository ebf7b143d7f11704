"""What a document of the packet is called in its outline and contents."""

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from packets.intake.records import InventoryPage
from packets.recipe.text_file import shown_path
from packets.selection.records import PlannedDocument

_NAMED = (
    # How a category without a title of its own is said.
    (re.compile(r"form-(.+)"), "Form {}"),
    (re.compile(r"schedule-(.+)"), "Schedule {}"),
    (re.compile(r"k-1-(.+)"), "Schedule K-1 (Form {})"),
    (re.compile(r"((?:w-2|w-2g|(?:ssa-)?10\d\d)(?:-.+)?)"), "Form {}"),
)


def title_of(pages: Sequence[InventoryPage]) -> str:
    """The form's own title where a page tells it, else its category in words."""
    told = next((page.title for page in pages if page.title.strip()), "")
    return shown_path(told or in_words(pages[0].category or "page"))


def in_words(category: str) -> str:
    """A category as a person says it: `form-8879` is Form 8879."""
    for pattern, wording in _NAMED:
        found = pattern.fullmatch(category)
        if found is not None:
            return wording.format(found.group(1).upper())
    return category.replace("-", " ").capitalize()


def told_apart(documents: Sequence[PlannedDocument]) -> tuple[PlannedDocument, ...]:
    """Documents of the same title numbered: `Schedule C (1 of 2)`, `Schedule C (2 of 2)`."""
    count = Counter(document.title for document in documents)
    seen: Counter[str] = Counter()
    named = []
    for document in documents:
        seen[document.title] += 1
        same = count[document.title]
        suffix = f" ({seen[document.title]} of {same})" if same > 1 else ""
        named.append(replace(document, title=document.title + suffix))
    return tuple(named)
