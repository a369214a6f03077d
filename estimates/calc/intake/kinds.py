"""What kind of file it is, told by its content; the name is only compared with it."""

import json
from typing import Final, Literal

from estimates.calc.intake import limits
from estimates.calc.intake.found import refuse

Kind = Literal["dxf", "ifc", "xlsx", "csv", "json"]

_ENDINGS: Final[dict[str, Kind]] = {
    "dxf": "dxf",
    "ifc": "ifc",
    "xlsx": "xlsx",
    "csv": "csv",
    "txt": "csv",
    "tsv": "csv",
    "json": "json",
}
_OTHERS: Final = (
    (
        b"%PDF",
        "pdf",
        "a PDF document; ask the engineer's office for the DXF drawing or the XLSX or CSV schedule",
    ),
    (b"\xd0\xcf\x11\xe0", "xls", "a workbook of the old kind (XLS); save it as XLSX"),
    (b"AC10", "dwg", "a DWG drawing; save it as DXF"),
    (b"AutoCAD Binary DXF", "binary_dxf", "a binary DXF drawing; save it as text DXF"),
    (b"\x89PNG", "image", "a picture; ask for the DXF drawing or the schedule as a table"),
    (b"\xff\xd8\xff", "image", "a picture; ask for the DXF drawing or the schedule as a table"),
    (b"\x1f\x8b", "gzip", "packed with gzip; unpack it first"),
    (b"MZ", "program", "a program; nothing of it is read"),
    (b"\x7fELF", "program", "a program; nothing of it is read"),
)


def kind_of(content: bytes, *, name: str) -> Kind:
    r"""Tells the kind of a file by its content.

    Source: derived: the first bytes that each format's standard demands (DXF group codes, ISO 10303-21,
    ZIP, RFC 8259); a table of text is what is left.

    Args:
        content: the whole file.
        name: its name as sent.

    Returns:
        The kind.

    Raises:
        Unreadable: empty, too large, of a kind that is not read, or another kind than its name says.

    >>> kind_of(b"Mark,Size\nS1,T10\n", name="bars.csv")
    'csv'
    """
    if len(content) > limits.FILE_BYTES:
        raise refuse(
            "too_large",
            f"the file has {len(content)} bytes, at most {limits.FILE_BYTES} are read; "
            "send the slab's own sheet or layers only",
        )
    if not content.strip():
        raise refuse("empty", "the file is empty; save it again and send it")
    for start, code, words in _OTHERS:
        if content.startswith(start):
            raise refuse(f"is_{code}", f"the file is {words}")
    kind = _by_content(content)
    ending = name.rsplit(".", 1)[-1].lower() if "." in name else ""
    said = _ENDINGS.get(ending)
    if said is None:
        raise refuse(
            "unknown_ending",
            f"the name {name[:60]!r} does not end in .dxf, .ifc, .xlsx, .csv or .json; "
            f"its content is {_WORDS[kind]}: name it so",
        )
    if said != kind:
        raise refuse(
            "wrong_ending",
            f"the name ends in .{ending}, but the content is {_WORDS[kind]}; "
            "send the right file or correct its name",
        )
    return kind


_WORDS: Final[dict[Kind, str]] = {
    "dxf": "a DXF drawing",
    "ifc": "an IFC model",
    "xlsx": "a workbook",
    "csv": "a table of text",
    "json": "JSON",
}


def _by_content(content: bytes) -> Kind:
    if content.startswith(b"PK\x03\x04"):
        return "xlsx"
    head = content[:4_000].lstrip(b"\xef\xbb\xbf \t\r\n")
    if head.startswith(b"ISO-10303-21"):
        return "ifc"
    lines = [line.strip() for line in head.splitlines()[:40]]
    pairs = set(zip(lines[::2], lines[1::2], strict=False))
    if (b"0", b"SECTION") in pairs or (b"0", b"SECTION") in set(zip(lines[1::2], lines[2::2], strict=False)):
        return "dxf"
    if b"\0" in content[:4_000] and not content.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise refuse(
            "binary", "the file is neither a drawing nor a table of text; send DXF, IFC, XLSX, CSV or JSON"
        )
    return "json" if head[:1] in {b"{", b"["} and _is_json(content) else "csv"


def _is_json(content: bytes) -> bool:
    try:
        json.loads(content)
    except (ValueError, RecursionError):
        return False
    return True
