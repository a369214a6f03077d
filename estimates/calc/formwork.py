"""Formwork by contact area: what the concrete touches."""

from estimates.calc import concrete
from estimates.calc.derivation import Input, Quantity, carried
from estimates.calc.geometry import Stack
from estimates.calc.wording import gettext_noop
from estimates.standards.load import Profile


def quantities(stack: Stack, *, profile: Profile) -> tuple[Quantity, ...]:
    """Contact areas of soffits, beam sides and edges, and their sum.

    Source: IS 1200 part 5 for what is measured: the surface in contact with concrete. Net: every opening is
    deducted and its faces are added. Faces within the slab's thickness are edge, those below are beam side.

    Args:
        stack: the slab's layers.
        profile: the standards profile.

    Returns:
        `formwork.slab_soffit`, `.beam_soffit`, `.beam_side`, `.edge` and `.total` [m²].

    >>> from estimates.calc import geometry
    >>> plain = geometry.stack([(0, 0), (4000, 0), (4000, 3000), (0, 3000)], thickness_mm=125)
    >>> from estimates.standards import load
    >>> [(item.key, item.net) for item in quantities(plain, profile=load.profile("is")) if item.net]
    [('formwork.slab_soffit', 12.0), ('formwork.edge', 1.75), ('formwork.total', 13.75)]
    """
    source = profile.choice("measure.formwork").citation
    parts = tuple(face(stack, source=source) for face in (_slab_soffit, _beam_soffit, _beam_side, _edge))
    total = _quantity(
        "total",
        source=source,
        member="",
        title=gettext_noop("Formwork, contact area"),
        formula="slab_soffit + beam_soffit + beam_side + edge",
        inputs={part.key.removeprefix("formwork."): carried(part) for part in parts},
    )
    return (*parts, total)


def _slab_soffit(stack: Stack, *, source: str) -> Quantity:
    inputs = {"area": concrete.slab_area(stack), "beam_area": _beam_area(stack)}
    return _quantity(
        "slab_soffit",
        source=source,
        member=gettext_noop("slab"),
        title=gettext_noop("Soffit of the slab"),
        formula="area - beam_area",
        inputs=inputs,
    )


def _beam_soffit(stack: Stack, *, source: str) -> Quantity:
    inputs = {"beam_area": _beam_area(stack)}
    return _quantity(
        "beam_soffit",
        source=source,
        member=gettext_noop("beams"),
        title=gettext_noop("Soffit of the beams"),
        formula="beam_area",
        inputs=inputs,
    )


def _beam_side(stack: Stack, *, source: str) -> Quantity:
    inputs: dict[str, Input] = {}
    for rank in range(len(stack.beams)):
        ribs = concrete.rib_inputs(stack, rank=rank)
        inputs |= {name: item for name, item in ribs.items() if not name.startswith("area")}
    terms = [f"perimeter_{rank} * height_{rank}" for rank in range(1, len(stack.beams) + 1)]
    return _quantity(
        "beam_side",
        source=source,
        member=gettext_noop("beams"),
        title=gettext_noop("Sides of the beams below the slab"),
        formula=" + ".join(terms) if terms else "0",
        inputs=inputs,
    )


def _edge(stack: Stack, *, source: str) -> Quantity:
    perimeter = Input(
        value=stack.slab.perimeter_mm / 1e3, unit="m", source="geometry of the drawing: outline and openings"
    )
    return _quantity(
        "edge",
        source=source,
        member=gettext_noop("slab"),
        title=gettext_noop("Edges of the slab and of its openings"),
        formula="perimeter * thickness",
        inputs={"perimeter": perimeter, "thickness": concrete.thickness(stack)},
    )


def _beam_area(stack: Stack) -> Input:
    source = "geometry of the drawing: union of the beams within the slab, less openings"
    return Input(value=stack.beam_soffit_mm2 / 1e6, unit="m²", source=source)


def _quantity(
    name: str, *, source: str, member: str, title: str, formula: str, inputs: dict[str, Input]
) -> Quantity:
    bought = "formwork" if name == "total" else None
    return Quantity(
        key=f"formwork.{name}",
        member=member,
        title=title,
        unit="m²",
        formula=formula,
        inputs=inputs,
        method="contact area, net",
        source=source,
        material=bought,
        kind=bought,
    )
