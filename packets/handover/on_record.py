"""What a build puts on record of the documents that it met."""

from packets.base.progress import Progress
from packets.intake.client_folder import ClientFolder
from packets.intake.inventory import take_inventory
from packets.intake.records import Inventory
from packets.reading.ocr import OcrReader
from packets.sealing.source_versions import SourceFile, note_sources


def noted_inventory(folder: ClientFolder, ocr: OcrReader, progress: Progress) -> Inventory:
    """Take the inventory, and note in the ledger which documents are new, changed or gone.

    The documents themselves are only read. Raises what `take_inventory` raises, and
    `InputRefused` or `UsageError` where the ledger is broken or cannot be written.
    """
    pages = take_inventory(folder, ocr, progress)
    note_sources(
        folder.root, (SourceFile(document.file, document.sha256) for document in pages.documents)
    )
    return pages
