"""The solid of a design sheet."""

from estimates.calc.geometry import rings, solid
from estimates.calc.geometry.rings import Region
from estimates.calc.geometry.solid import Plan, Solid
from estimates.calc.sheet.parts import DesignSheet


def of_sheet(sheet: DesignSheet) -> Solid:
    """The layers of a sheet's slab, panels, beams and upstands.

    Source: derived: `solid.build` on the sheet's shapes. Stairs and sunshades stand beside the layers; their
    lines work them out by their own sections.

    Args:
        sheet: the design sheet, as its reader accepted it.

    Returns:
        The solid.
    """
    return solid.build(
        Plan(
            outlines=sheet.outlines,
            thickness_mm=sheet.thickness_mm,
            openings=[opening.corners for opening in sheet.openings],
            panels=sheet.panels,
            beams=sheet.beams,
            upstands=sheet.upstands,
        )
    )


def overhangs(sheet: DesignSheet) -> Region:
    """Where the slab of a sheet cantilevers.

    Source: the drawing.

    Args:
        sheet: the design sheet.

    Returns:
        The region; empty without overhangs.
    """
    return rings.union([rings.ring(overhang.outline) for overhang in sheet.overhangs])
