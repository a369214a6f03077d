"""How much is read of a file that somebody sends: more than a slab needs, less than would hurt."""

from typing import Final

FILE_BYTES: Final = 8_000_000
"""Largest file [byte]."""
UNZIPPED_BYTES: Final = 40_000_000
"""Most that a workbook may unpack to [byte]."""
ZIP_PARTS: Final = 400
"""Most parts in a workbook."""
SHEETS: Final = 20
"""Most sheets of a workbook that are looked through."""
ROWS: Final = 5_000
"""Most rows of a table."""
COLUMNS: Final = 60
"""Most columns of a table that are looked at."""
CELL_CHARACTERS: Final = 500
"""Longest text of a cell."""
DXF_ENTITIES: Final = 20_000
"""Most things drawn in a DXF drawing."""
RING_POINTS: Final = 500
"""Most corners of one outline."""
IFC_ELEMENTS: Final = 5_000
"""Most slabs and bars of an IFC model."""
FAULTS: Final = 200
"""Most faults that are listed; a file with more is another kind of file."""
