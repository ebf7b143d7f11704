"""Pictures and drawings that came in with several documents, each kept once in the packet."""

import hashlib

import pikepdf
from pikepdf import Dictionary, Name, Object, Stream

_KINDS = (Name.Image, Name.Form)
_MASK = "/SMask"


def share_pictures(packet: pikepdf.Pdf) -> None:
    """Let every use of one picture lead to one object: a signature stands on many pages.

    Alike are streams whose dictionaries and coded bytes are the same, soft masks
    included. A stream that leads to other objects is left alone.
    """
    first: dict[str, Object] = {}
    instead: dict[tuple[int, int], Object] = {}
    for item in packet.objects:
        if isinstance(item, Stream) and item.get("/Subtype") in _KINDS and item.is_indirect:
            mark = _mark(item)
            if mark:
                instead[item.objgen] = first.setdefault(mark, item)
    if all(item.objgen == objgen for objgen, item in instead.items()):
        return
    for item in packet.objects:
        if isinstance(item, Dictionary | Stream):
            for holder in (item, item.get("/Resources")):
                if isinstance(holder, Dictionary | Stream):
                    _lead_on(holder.get("/XObject"), instead)


def _lead_on(entries: Object | None, instead: dict[tuple[int, int], Object]) -> None:
    if not isinstance(entries, Dictionary):
        return
    for name, item in list(entries.items()):
        kept = instead.get(item.objgen) if item.is_indirect else None
        if kept is not None and kept.objgen != item.objgen:
            entries[name] = kept


def _mark(stream: Object) -> str:
    """A digest of all that a stream is; empty where it leads to objects other than its mask."""
    mask = stream.get(_MASK)
    leads_on = {"/Length", _MASK} if isinstance(mask, Stream) else {"/Length"}
    own = {key: value for key, value in stream.items() if key not in leads_on}
    if not all(map(_stands_alone, own.values())):
        return ""
    of_mask = _mark(mask) if isinstance(mask, Stream) else "no mask"
    if not of_mask:
        return ""
    digest = hashlib.sha256(stream.read_raw_bytes())
    for key in sorted(own):
        digest.update(f"{key} ".encode() + _written(own[key]))
    digest.update(of_mask.encode())
    return digest.hexdigest()


def _stands_alone(value: object, depth: int = 0) -> bool:
    """Whether a value leads to no other object."""
    if not isinstance(value, Object):
        return True
    if value.is_indirect or depth > 8:
        return False
    if isinstance(value, pikepdf.Array):
        return all(_stands_alone(entry, depth + 1) for entry in value)
    if isinstance(value, Dictionary):
        return all(_stands_alone(entry, depth + 1) for entry in value.values())
    return not isinstance(value, Stream)


def _written(value: object) -> bytes:
    return value.unparse() if isinstance(value, Object) else repr(value).encode()
