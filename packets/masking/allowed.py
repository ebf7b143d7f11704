"""The allow-list: for every role an object can play on a page, the keys that come along.

Whatever is not named here does not get into a packet: metadata, scripts,
actions, thumbnails, private data, alternates, layer and structure links, keys
that no standard knows. Key names are those of ISO 32000-2:2020, with the
table they come from. The value is the role that the key's value plays.
"""

from typing import Final

PLAIN: Final = "plain"
"""Numbers, names and booleans, and arrays of them; strings only where noted."""
TEXTUAL: Final = "textual"
"""Strings too: colour tables and character collections need them."""

ROLES: Final[dict[str, dict[str, str]]] = {
    "page": {  # Table 31
        "/Type": PLAIN, "/MediaBox": PLAIN, "/CropBox": PLAIN, "/Rotate": PLAIN,
        "/UserUnit": PLAIN, "/Group": "group",
    },
    "group": {"/Type": PLAIN, "/S": PLAIN, "/CS": "colour space", "/I": PLAIN, "/K": PLAIN},  # 145
    "image": {  # Table 87
        "/Type": PLAIN, "/Subtype": PLAIN, "/Width": PLAIN, "/Height": PLAIN,
        "/ColorSpace": "colour space", "/BitsPerComponent": PLAIN, "/Intent": PLAIN,
        "/ImageMask": PLAIN, "/Mask": "image", "/Decode": PLAIN, "/Interpolate": PLAIN,
        "/SMask": "image", "/SMaskInData": PLAIN, "/Matte": PLAIN,
    },
    "form": {  # Table 93
        "/Type": PLAIN, "/Subtype": PLAIN, "/FormType": PLAIN, "/BBox": PLAIN, "/Matrix": PLAIN,
        "/Group": "group",
    },
    "tiling": {  # Table 74
        "/Type": PLAIN, "/PatternType": PLAIN, "/PaintType": PLAIN, "/TilingType": PLAIN,
        "/BBox": PLAIN, "/XStep": PLAIN, "/YStep": PLAIN, "/Matrix": PLAIN,
    },
    "shading pattern": {  # Table 75
        "/Type": PLAIN, "/PatternType": PLAIN, "/Shading": "shading", "/Matrix": PLAIN,
        "/ExtGState": "graphics state",
    },
    "shading": {  # Tables 77 to 83
        "/ShadingType": PLAIN, "/ColorSpace": "colour space", "/Background": PLAIN,
        "/BBox": PLAIN, "/AntiAlias": PLAIN, "/Function": "function", "/Domain": PLAIN,
        "/Matrix": PLAIN, "/Coords": PLAIN, "/Extend": PLAIN, "/BitsPerCoordinate": PLAIN,
        "/BitsPerComponent": PLAIN, "/BitsPerFlag": PLAIN, "/Decode": PLAIN,
        "/VerticesPerRow": PLAIN,
    },
    "function": {  # Tables 38 to 41
        "/FunctionType": PLAIN, "/Domain": PLAIN, "/Range": PLAIN, "/Size": PLAIN,
        "/BitsPerSample": PLAIN, "/Order": PLAIN, "/Encode": PLAIN, "/Decode": PLAIN,
        "/C0": PLAIN, "/C1": PLAIN, "/N": PLAIN, "/Functions": "function", "/Bounds": PLAIN,
    },
    "graphics state": {  # Table 57, without what only a printing press heeds
        "/Type": PLAIN, "/LW": PLAIN, "/LC": PLAIN, "/LJ": PLAIN, "/ML": PLAIN, "/D": PLAIN,
        "/RI": PLAIN, "/OP": PLAIN, "/op": PLAIN, "/OPM": PLAIN, "/Font": "font", "/FL": PLAIN,
        "/SM": PLAIN, "/SA": PLAIN, "/BM": PLAIN, "/SMask": "soft mask", "/CA": PLAIN,
        "/ca": PLAIN, "/AIS": PLAIN, "/TK": PLAIN, "/TR": "function", "/TR2": "function",
    },
    "soft mask": {"/Type": PLAIN, "/S": PLAIN, "/G": "form", "/BC": PLAIN, "/TR": "function"},
    "calibration": {  # Tables 62, 63, 64
        "/WhitePoint": PLAIN, "/BlackPoint": PLAIN, "/Gamma": PLAIN, "/Matrix": PLAIN,
        "/Range": PLAIN,
    },
    "colour profile": {"/N": PLAIN, "/Alternate": "colour space", "/Range": PLAIN},  # Table 65
    "font": {  # Tables 109, 110, 119
        "/Type": PLAIN, "/Subtype": PLAIN, "/BaseFont": PLAIN, "/FirstChar": PLAIN,
        "/LastChar": PLAIN, "/Widths": PLAIN, "/FontDescriptor": "font descriptor",
        "/Encoding": "encoding", "/ToUnicode": "character map", "/DescendantFonts": "font",
        "/CIDSystemInfo": "collection", "/DW": PLAIN, "/W": PLAIN, "/DW2": PLAIN, "/W2": PLAIN,
        "/CIDToGIDMap": "data", "/FontBBox": PLAIN, "/FontMatrix": PLAIN,
    },
    "font descriptor": {  # Table 120
        "/Type": PLAIN, "/FontName": PLAIN, "/FontStretch": PLAIN, "/FontWeight": PLAIN,
        "/Flags": PLAIN, "/FontBBox": PLAIN, "/ItalicAngle": PLAIN, "/Ascent": PLAIN,
        "/Descent": PLAIN, "/Leading": PLAIN, "/CapHeight": PLAIN, "/XHeight": PLAIN,
        "/StemV": PLAIN, "/StemH": PLAIN, "/AvgWidth": PLAIN, "/MaxWidth": PLAIN,
        "/MissingWidth": PLAIN, "/FontFile": "font program", "/FontFile2": "font program",
        "/FontFile3": "font program",
    },
    "font program": {  # Table 125
        "/Length1": PLAIN, "/Length2": PLAIN, "/Length3": PLAIN, "/Subtype": PLAIN,
    },
    "encoding": {  # Tables 112 and 118
        "/Type": PLAIN, "/BaseEncoding": PLAIN, "/Differences": PLAIN, "/CMapName": PLAIN,
        "/CIDSystemInfo": "collection", "/WMode": PLAIN, "/UseCMap": "encoding",
    },
    "character map": {
        "/Type": PLAIN, "/CMapName": PLAIN, "/CIDSystemInfo": "collection", "/WMode": PLAIN,
        "/UseCMap": "character map",
    },
    "collection": {"/Registry": TEXTUAL, "/Ordering": TEXTUAL, "/Supplement": PLAIN},  # Table 114
    "data": {},
    "picture globals": {},
    "decode parameters": {  # Tables 8, 11, 12, 13
        "/Predictor": PLAIN, "/Colors": PLAIN, "/BitsPerComponent": PLAIN, "/Columns": PLAIN,
        "/EarlyChange": PLAIN, "/K": PLAIN, "/EndOfLine": PLAIN, "/EncodedByteAlign": PLAIN,
        "/Rows": PLAIN, "/EndOfBlock": PLAIN, "/BlackIs1": PLAIN,
        "/DamagedRowsBeforeError": PLAIN, "/ColorTransform": PLAIN,
        "/JBIG2Globals": "picture globals",
    },
}  # fmt: skip

RESOURCE_KINDS: Final[dict[str, str]] = {
    "/Font": "font",
    "/XObject": "drawn object",
    "/ExtGState": "graphics state",
    "/ColorSpace": "colour space",
    "/Pattern": "pattern",
    "/Shading": "shading",
}
"""Table 34 without /Properties (marked content does not come along) and /ProcSet."""
