"""Small files of many kinds that carry a text: mail, archives, office files, pictures."""

import base64
import bz2
import gzip
import io
import lzma
import struct
import tarfile
import zipfile
from email.message import EmailMessage

from PIL import Image, ImageDraw, ImageFont, PngImagePlugin

W = 'xmlns:w="http://schemas.openxmlformats.org/wordprocessingml/2006/main"'
TYPES = '<?xml version="1.0"?><Types xmlns="urn:types"/>'


def zipped(members: dict[str, bytes | str], comment: bytes = b"") -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, body in members.items():
            archive.writestr(name, body)
        archive.comment = comment
    return out.getvalue()


def tarred(members: dict[str, bytes]) -> bytes:
    out = io.BytesIO()
    with tarfile.open(fileobj=out, mode="w") as archive:
        for name, body in members.items():
            info = tarfile.TarInfo(name)
            info.size = len(body)
            archive.addfile(info, io.BytesIO(body))
    return out.getvalue()


def packed(body: bytes, how: str) -> bytes:
    return {"gz": gzip.compress, "bz2": bz2.compress, "xz": lzma.compress}[how](body)


def docx(*runs: str, extra: dict[str, bytes | str] | None = None) -> bytes:
    """One paragraph with its text in runs of different type."""
    text = "".join(f"<w:r><w:rPr><w:b/></w:rPr><w:t>{run}</w:t></w:r>" for run in runs)
    document = f'<?xml version="1.0"?><w:document {W}><w:body><w:p>{text}</w:p></w:body>'
    parts = {"[Content_Types].xml": TYPES, "word/document.xml": f"{document}</w:document>"}
    return zipped({**parts, **(extra or {})})


def xlsx(cells: str, shared: str = "", styles: str = "") -> bytes:
    """One sheet; `cells` is the XML of one row's cells."""
    sheet = f'<worksheet xmlns="urn:sheet"><sheetData><row r="1">{cells}</row></sheetData>'
    return zipped(
        {
            "[Content_Types].xml": TYPES,
            "xl/worksheets/sheet1.xml": f"{sheet}</worksheet>",
            "xl/sharedStrings.xml": f'<sst xmlns="urn:sheet">{shared}</sst>',
            "xl/styles.xml": f'<styleSheet xmlns="urn:sheet">{styles}</styleSheet>',
        }
    )


def mail(
    body: str = "Dear client", *attached: tuple[str, bytes], subject: str = "Your copy"
) -> bytes:
    message = EmailMessage()
    message["From"] = "office@example.com"
    message["To"] = "client@example.com"
    message["Subject"] = subject
    message["Date"] = "Wed, 25 Nov 2026 10:00:00 +0000"
    message.set_content(body, cte="base64")
    for name, data in attached:
        message.add_attachment(data, "application", "octet-stream", filename=name)
    return message.as_bytes()


def nested_mail(depth: int) -> bytes:
    """A mail in a mail in a mail, the number in the innermost."""
    inner = b"From: a@example.com\nSubject: x\n\nthe number is 666-12-3457\n"
    head = b"From: a@example.com\nSubject: x\nMIME-Version: 1.0\nContent-Type: message/rfc822\n\n"
    return head * depth + inner


def picture(words: str, kind: str = "PNG", **how: object) -> bytes:
    sheet = Image.new("RGB", (900, 160), "white")
    font = ImageFont.load_default(48)
    ImageDraw.Draw(sheet).text((40, 50), words, fill="black", font=font)
    out = io.BytesIO()
    sheet.save(out, kind, **how)
    return out.getvalue()


def two_pictures(words: str) -> bytes:
    """A TIFF whose second picture shows the words."""
    first = Image.new("L", (400, 100), 255)
    second = Image.open(io.BytesIO(picture(words))).convert("L")
    out = io.BytesIO()
    first.save(out, "TIFF", save_all=True, append_images=[second])
    return out.getvalue()


def png_with_words(key: str, words: str, *, squeezed: bool) -> bytes:
    told = PngImagePlugin.PngInfo()
    told.add_text(key, words, zip=squeezed)
    return picture("nothing here", pnginfo=told)


def message_file(streams: dict[str, bytes]) -> bytes:
    """A compound file (MS-CFB) of small streams in one folder, as mail programs save mail."""
    names = list(streams)
    small, small_table, starts = b"", [], []
    for body in streams.values():
        sectors = max(1, -(-len(body) // 64))
        starts.append(len(small_table))
        small_table += [len(small_table) + 1 + n for n in range(sectors - 1)] + [0xFFFFFFFE]
        small += body.ljust(sectors * 64, b"\0")
    small_sectors = max(1, -(-len(small) // 512))
    entries = [_entry("Root Entry", 5, 3, len(small), child=1)]
    for number, name in enumerate(names):
        right = number + 2 if number + 1 < len(names) else 0xFFFFFFFF
        entries.append(_entry(name, 2, starts[number], len(streams[name]), right=right))
    folder = b"".join(entries)
    folder += b"\0" * (-len(folder) % 512)
    folder_sectors = len(folder) // 512
    at_folder = 3 + small_sectors
    # Sector 0 the table, 1 and 2 the table of small sectors, then the small ones, then the folder.
    table = [0xFFFFFFFD, 2, 0xFFFFFFFE]
    table += [3 + n + 1 for n in range(small_sectors - 1)] + [0xFFFFFFFE]
    table += [at_folder + n + 1 for n in range(folder_sectors - 1)] + [0xFFFFFFFE]
    head = struct.pack(
        "<8s16sHHHHH6sIIIIIIIII",
        *(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", b"\0" * 16, 0x3E, 3, 0xFFFE, 9, 6, b"\0" * 6),
        *(0, 1, at_folder, 0, 4096, 1, 2, 0xFFFFFFFE, 0),
    )
    head += struct.pack("<109I", 0, *[0xFFFFFFFF] * 108)
    return (
        head
        + _table(table, 1)
        + _table(small_table, 2)
        + small.ljust(small_sectors * 512, b"\0")
        + folder
    )


def _table(numbers: list[int], sectors: int) -> bytes:
    return struct.pack(f"<{len(numbers)}I", *numbers).ljust(512 * sectors, b"\xff")


def _entry(
    name: str, kind: int, start: int, size: int, *, child: int = 0xFFFFFFFF, right: int = 0xFFFFFFFF
) -> bytes:
    coded = name.encode("utf-16-le") + b"\0\0"
    return struct.pack(
        "<64sHBBIII16sIQQIQ",
        *(coded, len(coded), kind, 1, 0xFFFFFFFF, right, child, b"\0" * 16, 0, 0, 0, start, size),
    )


def saved_mail(**properties: bytes) -> bytes:
    """A saved mail with properties by their code, as in `x1000001F=b"..."`."""
    streams = {"__properties_version1.0": b"\0" * 32}
    streams |= {f"__substg1.0_{name[1:]}": body for name, body in properties.items()}
    return message_file(streams)


def in_base64(data: bytes) -> bytes:
    return base64.encodebytes(data)
