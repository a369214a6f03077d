"""Net concrete of a slab and its beams, by geometry."""

from typing import Final

from estimates.calc.derivation import Input, Quantity, carried
from estimates.calc.geometry import Stack
from estimates.calc.wording import gettext_noop
from estimates.standards.load import Profile

_PLAN: Final = "geometry of the drawing: footprint less openings"
_RIBS: Final = "geometry of the drawing: beams at least this deep, crossings once, less openings"


def quantities(stack: Stack, *, profile: Profile) -> tuple[Quantity, ...]:
    """Concrete in the slab, in the beams below it, and in all.

    Source: derived: footprint × height of each layer. Steel is not deducted, nor is it by IS 1200 part 2.

    Args:
        stack: the slab's layers.
        profile: the standards profile.

    Returns:
        `concrete.slab`, `concrete.beams` when there are any, `concrete.net` [m³].

    >>> from estimates.calc import geometry
    >>> plain = geometry.stack([(0, 0), (4000, 0), (4000, 3000), (0, 3000)], thickness_mm=125)
    >>> from estimates.standards import load
    >>> [(item.key, item.net) for item in quantities(plain, profile=load.profile("is"))]
    [('concrete.slab', 1.5), ('concrete.net', 1.5)]
    """
    source = profile.choice("measure.concrete").citation
    slab = _quantity(
        "concrete.slab",
        source=source,
        member=gettext_noop("slab"),
        title=gettext_noop("Concrete in the slab's thickness"),
        formula="area * thickness",
        inputs={"area": slab_area(stack), "thickness": thickness(stack)},
    )
    if not stack.beams:
        return (slab, _total("slab", source=source, inputs={"slab": carried(slab)}))
    ribs = {
        name: item for rank in range(len(stack.beams)) for name, item in rib_inputs(stack, rank=rank).items()
    }
    beams = _quantity(
        "concrete.beams",
        source=source,
        member=gettext_noop("beams"),
        title=gettext_noop("Concrete in the beams below the slab"),
        formula=" + ".join(f"area_{rank} * height_{rank}" for rank in range(1, len(stack.beams) + 1)),
        inputs={name: item for name, item in ribs.items() if not name.startswith("perimeter")},
    )
    total = _total("slab + beams", source=source, inputs={"slab": carried(slab), "beams": carried(beams)})
    return (slab, beams, total)


def slab_area(stack: Stack) -> Input:
    """The slab's area in plan, openings off.

    Source: derived: shoelace rule on the clipped outline.

    Args:
        stack: the slab's layers.

    Returns:
        The area [m²].

    >>> from estimates.calc import geometry
    >>> slab_area(geometry.stack([(0, 0), (4000, 0), (4000, 3000), (0, 3000)], thickness_mm=125)).value
    12.0
    """
    return Input(value=stack.slab.area_mm2 / 1e6, unit="m²", source=_PLAN)


def thickness(stack: Stack) -> Input:
    """The slab's thickness.

    Source: the drawing.

    Args:
        stack: the slab's layers.

    Returns:
        The thickness [m].

    >>> from estimates.calc import geometry
    >>> thickness(geometry.stack([(0, 0), (4000, 0), (4000, 3000), (0, 3000)], thickness_mm=125)).value
    0.125
    """
    return Input(value=stack.slab.height_mm / 1e3, unit="m", source="drawing")


def rib_inputs(stack: Stack, *, rank: int) -> dict[str, Input]:
    """Area, perimeter and height of one beam layer, as inputs numbered from 1.

    Source: derived: shoelace rule on the clipped union of the beams.

    Args:
        stack: the slab's layers.
        rank: which beam layer, 0 for the one next to the slab.

    Returns:
        `area_n` [m²], `perimeter_n` [m], `height_n` [m] with n = rank + 1.

    Raises:
        IndexError: the stack has fewer beam layers.

    >>> from types import SimpleNamespace
    >>> from estimates.calc import geometry
    >>> beam = SimpleNamespace(width_mm=200, depth_mm=400, start=(0, 1000), end=(3000, 1000))
    >>> outline = [(0, 0), (3000, 0), (3000, 2000), (0, 2000)]
    >>> rib_inputs(geometry.stack(outline, thickness_mm=100, beams=[beam]), rank=0)["perimeter_1"].value
    6.4
    """
    layer, number = stack.beams[rank], rank + 1
    reach = f"drawing: beams from {layer.top_mm:g} to {layer.bottom_mm:g} mm below the slab's top"
    return {
        f"area_{number}": Input(value=layer.area_mm2 / 1e6, unit="m²", source=_RIBS),
        f"perimeter_{number}": Input(value=layer.perimeter_mm / 1e3, unit="m", source=_RIBS),
        f"height_{number}": Input(value=layer.height_mm / 1e3, unit="m", source=reach),
    }


def _total(formula: str, *, source: str, inputs: dict[str, Input]) -> Quantity:
    texts = {"member": "", "title": gettext_noop("Concrete, net")}
    return _quantity("concrete.net", source=source, formula=formula, inputs=inputs, **texts)


def _quantity(
    key: str, *, source: str, member: str, title: str, formula: str, inputs: dict[str, Input]
) -> Quantity:
    return Quantity(
        key=key,
        member=member,
        title=title,
        unit="m³",
        formula=formula,
        inputs=inputs,
        method="horizontal layers, net",
        source=source,
    )
