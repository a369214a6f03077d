"""Formwork by contact area: what the concrete touches."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from estimates.calc import concrete
from estimates.calc.concrete import NOTHING_BESIDE, Beside
from estimates.calc.derivation import Input, Quantity, carried
from estimates.calc.formwork import beside as forms_beside
from estimates.calc.formwork.lines import area_line
from estimates.calc.geometry import faces, rings
from estimates.calc.geometry.faces import Face, FaceKind
from estimates.calc.geometry.rings import Region
from estimates.calc.geometry.solid import Kind, Solid
from estimates.calc.sheet.joints import ExistingJoint
from estimates.calc.wording import gettext_noop
from estimates.standards.load import Profile

_FACES: Final = "geometry of the drawing: faces between these levels, crossings once, less openings"
_SOFFITS: Final = (
    (
        Kind.BEAM,
        False,
        "beam_area",
        "geometry of the drawing: undersides of the beams, less openings",
    ),
    (Kind.SIDE, False, "side_area", "geometry of the drawing: undersides of the sides of sunken panels"),
    (Kind.UPSTAND, False, "upstand_area", "geometry of the drawing: undersides of upstands"),
    (Kind.SLAB, True, "overhang_area", "geometry of the drawing: slab within the overhangs, less openings"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """What the contact area needs beside the solid."""

    beside: Beside = NOTHING_BESIDE
    overhangs: Region | None = None
    existing: Sequence[ExistingJoint] = ()
    stop_ends_mm2: float = 0.0


_NOTHING: Final = Contact()


def quantities(solid: Solid, *, profile: Profile, with_: Contact = _NOTHING) -> tuple[Quantity, ...]:
    """Contact areas by kind, and their sum.

    Source: IS 1200 part 5 for what is measured: the surface in contact with concrete. Net: every opening is
    deducted and its faces are added. Faces within the slab's thickness are edge, those below are beam side.

    Args:
        solid: the slab's layers.
        profile: the standards profile.
        with_: stairs, sunshades, overhangs, joints.

    Returns:
        `formwork.slab_soffit`, `.beam_soffit`, `.beam_side`, `.edge`, those of further kinds that there are,
        and last `.total` [m²].

    >>> from estimates.calc.geometry.solid import Plan, build
    >>> plain = build(Plan(outlines=[[(0, 0), (4000, 0), (4000, 3000), (0, 3000)]], thickness_mm=125))
    >>> from estimates.standards import load
    >>> [(item.key, item.net) for item in quantities(plain, profile=load.profile("is")) if item.net]
    [('formwork.slab_soffit', 12.0), ('formwork.edge', 1.75), ('formwork.total', 13.75)]
    """
    source = profile.choice("measure.formwork").citation
    seen = faces.vertical(solid)
    parts = [
        *_soffits(solid, overhangs=with_.overhangs, source=source),
        _beam_side(seen, source=source),
        _edge(seen, solid=solid, existing=with_.existing, source=source),
        *_further(seen, stop_ends_mm2=with_.stop_ends_mm2, source=source),
        *forms_beside.quantities(with_.beside, source=source),
    ]
    inputs = {part.key.removeprefix("formwork.").replace(".", "_"): carried(part) for part in parts}
    total = area_line(
        "total",
        source=source,
        member="",
        title=gettext_noop("Formwork, contact area"),
        formula=" + ".join(inputs),
        inputs=inputs,
    )
    return (*parts, total)


def _soffits(solid: Solid, *, overhangs: Region | None, source: str) -> list[Quantity]:
    found = faces.soffits(solid, overhangs=overhangs)
    areas = {(soffit.kind, soffit.overhang): soffit.area_mm2 for soffit in found}
    others = {
        name: Input(value=areas.get((kind, overhang), 0.0) / 1e6, unit="m²", source=text)
        for kind, overhang, name, text in _SOFFITS
        if name == "beam_area" or areas.get((kind, overhang))
    }
    return [
        _slab_soffit(solid, areas=areas, others=others, source=source),
        *(_other_soffit(name, area=area, source=source) for name, area in others.items()),
    ]


def _slab_soffit(
    solid: Solid, *, areas: dict[tuple[Kind, bool], float], others: dict[str, Input], source: str
) -> Quantity:
    """The slab's area less what closes it from below; faces that lie above others come on top."""
    inputs = {"area": concrete.slab_area(solid), **others}
    formula = " - ".join(inputs)
    above_mm2 = math.fsum(areas.values()) - solid.area_mm2
    if abs(above_mm2) > solid.area_mm2 * 1e-9:
        text = "geometry of the drawing: faces that look down above other concrete"
        inputs["above_area"] = Input(value=above_mm2 / 1e6, unit="m²", source=text)
        formula += " + above_area"
    return area_line(
        "slab_soffit",
        source=source,
        member=gettext_noop("slab"),
        title=gettext_noop("Soffit of the slab"),
        formula=formula,
        inputs=inputs,
    )


_OTHER_SOFFITS: Final = {
    "beam_area": ("beam_soffit", gettext_noop("beams"), gettext_noop("Soffit of the beams")),
    "side_area": (
        "side_soffit",
        gettext_noop("sides"),
        gettext_noop("Underside of the sides of sunken panels"),
    ),
    "upstand_area": ("upstand_soffit", gettext_noop("upstands"), gettext_noop("Underside of the upstands")),
    "overhang_area": ("overhang_soffit", gettext_noop("overhangs"), gettext_noop("Soffit of the overhangs")),
}


def _other_soffit(name: str, *, area: Input, source: str) -> Quantity:
    key, member, title = _OTHER_SOFFITS[name]
    return area_line(key, source=source, member=member, title=title, formula=name, inputs={name: area})


def _beam_side(seen: Sequence[Face], *, source: str) -> Quantity:
    own = [face for face in seen if face.kind == FaceKind.BEAM]
    return area_line(
        "beam_side",
        source=source,
        member=gettext_noop("beams"),
        title=gettext_noop("Sides of the beams below the slab"),
        formula=_sum_of(own),
        inputs=_face_inputs(own),
    )


_FURTHER: Final = (
    (
        FaceKind.STEP,
        "step",
        gettext_noop("slab"),
        gettext_noop("Steps between the slab and panels of another level"),
    ),
    (FaceKind.SIDE, "sunken_side", gettext_noop("sides"), gettext_noop("Sides of sunken panels")),
    (FaceKind.UPSTAND, "upstand_side", gettext_noop("upstands"), gettext_noop("Sides of the upstands")),
)


def _further(seen: Sequence[Face], *, stop_ends_mm2: float, source: str) -> list[Quantity]:
    found = []
    for kind, key, member, title in _FURTHER:
        own = [face for face in seen if face.kind == kind]
        if own:
            found.append(
                area_line(
                    key,
                    source=source,
                    member=member,
                    title=title,
                    formula=_sum_of(own),
                    inputs=_face_inputs(own),
                )
            )
    if stop_ends_mm2:
        text = "geometry of the drawing: section of slab and beams along the construction joints"
        found.append(
            area_line(
                "stop_end",
                source=source,
                member=gettext_noop("joints"),
                title=gettext_noop("Stop ends at construction joints"),
                formula="section",
                inputs={"section": Input(value=stop_ends_mm2 / 1e6, unit="m²", source=text)},
            )
        )
    return found


def _sum_of(own: Sequence[Face]) -> str:
    return " + ".join(f"perimeter_{n} * height_{n}" for n in range(1, len(own) + 1)) or "0"


def _face_inputs(own: Sequence[Face]) -> dict[str, Input]:
    inputs: dict[str, Input] = {}
    for number, face in enumerate(own, start=1):
        reach = f"drawing: from level {face.top_mm:g} to {face.bottom_mm:g} mm, the slab's top being 0"
        inputs[f"perimeter_{number}"] = Input(face.length_mm / 1e3, "m", _FACES)
        inputs[f"height_{number}"] = Input(face.height_mm / 1e3, "m", reach)
    return inputs


def _edge(seen: Sequence[Face], *, solid: Solid, existing: Sequence[ExistingJoint], source: str) -> Quantity:
    """Edges by the piece that they belong to, less what is cast against concrete that stands already."""
    inputs: dict[str, Input] = {}
    terms = []
    pieces = {piece.name: piece for piece in solid.pieces}
    own = [face for face in seen if face.kind == FaceKind.EDGE]
    for number, face in enumerate(sorted(own, key=lambda face: bool(face.name))):
        mark = f"_{number}" if number else ""
        of = f", panel {face.name}" if face.name else ""
        text = f"geometry of the drawing: outline and openings{of}"
        inputs[f"perimeter{mark}"] = Input(value=face.length_mm / 1e3, unit="m", source=text)
        inputs[f"thickness{mark}"] = concrete.thickness(pieces[face.name])
        terms.append(f"perimeter{mark} * thickness{mark}")
    formula = " + ".join(terms) or "0"
    if existing:
        area = math.fsum(rings.length_mm(joint.line) * joint.thickness_mm for joint in existing)
        text = "drawing: faces cast against concrete that stands already"
        inputs["against_existing"] = Input(value=area / 1e6, unit="m²", source=text)
        formula += " - against_existing"
    return area_line(
        "edge",
        source=source,
        member=gettext_noop("slab"),
        title=gettext_noop("Edges of the slab and of its openings"),
        formula=formula,
        inputs=inputs,
    )
