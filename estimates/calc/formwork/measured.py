"""Quantities as the bill is measured, beside the net ones that are ordered: named rules of the profile.

Small openings are not deducted, beams are measured through or up to each other, an edge stands in metres by
height or in square metres. Each line names its rules and adds to the net what they do not deduct.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import Final

from estimates.calc.derivation import Input, Quantity, carried
from estimates.calc.geometry import faces, rings
from estimates.calc.geometry.faces import Face, FaceKind
from estimates.calc.geometry.rings import Region
from estimates.calc.geometry.solid import Kind, Prism, Solid
from estimates.calc.sheet.joints import ExistingJoint
from estimates.calc.sheet.parts import DesignSheet
from estimates.calc.wording import gettext_noop
from estimates.standards.load import Profile, Value

_DRAWN: Final = "geometry of the drawing: opening {name} within the slab"
_TALL: Final = 1e9
_BEHIND: Final = "geometry of the drawing: sides of beam {main} behind beam {other}"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Rules:
    """One named set of rules."""

    name: str
    values: Mapping[str, Value]
    edge_in_metres: bool
    beams_through: bool
    edge_source: str
    beam_source: str

    def not_deducted(self, *, area_m2: float, volume_m3: float) -> tuple[bool, bool]:
        """Whether an opening stays in the concrete, and in the formwork."""
        concrete = self._within("concrete_opening", area_m2) or self._within("concrete_void", volume_m3)
        return concrete, self._within("formwork_opening", area_m2)

    def source(self, *keys: str) -> str:
        """The citations of the values that decide."""
        return "; ".join(self.values[key].citation for key in keys if key in self.values) or self.edge_source

    def _within(self, key: str, size: float) -> bool:
        return key in self.values and size <= self.values[key].value


def names(profile: Profile) -> tuple[str, ...]:
    """The named rules of a profile.

    Source: the profile's `measure.<name>.edge`.

    Args:
        profile: the standards profile.

    Returns:
        The names.

    >>> from estimates.standards import load
    >>> names(load.profile("is"))
    ('cpwd', 'is_1200')
    """
    ends = (".edge",)
    return tuple(
        sorted(
            key.split(".")[1] for key in profile.choices if key.startswith("measure.") and key.endswith(ends)
        )
    )


def quantities(
    sheet: DesignSheet, *, solid: Solid, net: Mapping[str, Quantity], profile: Profile
) -> Iterator[Quantity]:
    """Concrete, soffits, beam sides and edges as measured for the bill.

    Source: the rules that the sheet names, else the profile's: `measure.rules`.

    Args:
        sheet: the design sheet.
        solid: its layers.
        net: the net lines by key: `concrete.net` and those of the formwork.
        profile: the standards profile.

    Yields:
        `measured.concrete` [m³], `measured.soffit` and `measured.beams` [m²], `measured.edge.n` [m, m²].

    Raises:
        ValueError: the sheet names rules that the profile has not.
    """
    rules = _rules(sheet.measurement or profile.choice("measure.rules").value, profile=profile)
    holes = list(_holes(sheet))
    kept = [(hole, rules.not_deducted(area_m2=hole.area_m2, volume_m3=hole.volume_m3)) for hole in holes]
    yield _concrete([hole for hole, (stays, _) in kept if stays], net=net, rules=rules)
    yield _soffit([hole for hole, (_, stays) in kept if stays], net=net, rules=rules)
    if net["formwork.beam_side"].net or net["formwork.beam_soffit"].net:
        yield _beams(sheet, solid=solid, net=net, rules=rules)
    yield from _edges(faces.vertical(solid), existing=sheet.existing_joints, rules=rules)


def _rules(name: str, *, profile: Profile) -> _Rules:
    if name not in names(profile):
        message = f"measurement {name!r} is not one of {', '.join(names(profile))} of profile {profile.id}"
        raise ValueError(message)
    edge, beams = (profile.choice(f"measure.{name}.{key}") for key in ("edge", "beam_intersections"))
    return _Rules(
        name=name,
        values=profile.group(f"measure.{name}"),
        edge_in_metres=edge.value == "length",
        beams_through=beams.value == "not_deducted",
        edge_source=edge.citation,
        beam_source=beams.citation,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Hole:
    """An opening as it lies in the slab and its panels: areas [m²] with the thickness there [m]."""

    name: str
    parts: tuple[tuple[float, float], ...]

    @property
    def area_m2(self) -> float:
        return sum(area for area, _ in self.parts)

    @property
    def volume_m3(self) -> float:
        return sum(area * thick for area, thick in self.parts)


def _holes(sheet: DesignSheet) -> Iterator[_Hole]:
    panels = [([rings.ring(panel.outline)], panel.thickness_mm) for panel in sheet.panels]
    for opening in sheet.openings:
        left: Region = [rings.ring(opening.corners)]
        parts = []
        for panel, thick in panels:
            parts.append((rings.area_mm2(rings.intersection(left, panel)) / 1e6, thick / 1e3))
            left = rings.difference(left, panel)
        parts.append((rings.area_mm2(left) / 1e6, sheet.thickness_mm / 1e3))
        yield _Hole(name=opening.name, parts=tuple(part for part in parts if part[0]))


def _concrete(holes: Sequence[_Hole], *, net: Mapping[str, Quantity], rules: _Rules) -> Quantity:
    inputs = {"net": carried(net["concrete.net"])}
    formula = "net"
    parts = [(hole.name, *part) for hole in holes for part in hole.parts]
    for number, (name, area, thick) in enumerate(parts, start=1):
        inputs[f"opening_{number}"] = Input(area, "m²", _DRAWN.format(name=name))
        inputs[f"thickness_{number}"] = Input(thick, "m", "drawing")
        formula += f" + opening_{number} * thickness_{number}"
    return _line(
        "concrete",
        words=(gettext_noop("Concrete as measured for the bill"), "m³"),
        formula=formula,
        inputs=inputs,
        rules=rules,
        source=rules.source("concrete_opening", "concrete_void"),
    )


def _soffit(holes: Sequence[_Hole], *, net: Mapping[str, Quantity], rules: _Rules) -> Quantity:
    inputs = {
        key: carried(net[f"formwork.{key}"])
        for key in ("slab_soffit", "overhang_soffit")
        if f"formwork.{key}" in net
    }
    for number, hole in enumerate(holes, start=1):
        inputs[f"opening_{number}"] = Input(hole.area_m2, "m²", _DRAWN.format(name=hole.name))
    return _line(
        "soffit",
        words=(gettext_noop("Soffit of the slab as measured for the bill"), "m²"),
        formula=" + ".join(inputs),
        inputs=inputs,
        rules=rules,
        source=rules.source("formwork_opening"),
    )


def _beams(sheet: DesignSheet, *, solid: Solid, net: Mapping[str, Quantity], rules: _Rules) -> Quantity:
    inputs = {key: carried(net[f"formwork.{key}"]) for key in ("beam_side", "beam_soffit")}
    if rules.beams_through:
        for number, (area, text) in enumerate(_behind(sheet, solid=solid), start=1):
            inputs[f"behind_{number}"] = Input(area / 1e6, "m²", text)
    return _line(
        "beams",
        words=(gettext_noop("Beams, sides and soffits as measured for the bill"), "m²"),
        formula=" + ".join(inputs),
        inputs=inputs,
        rules=rules,
        source=rules.beam_source,
    )


def _behind(sheet: DesignSheet, *, solid: Solid) -> Iterator[tuple[float, str]]:
    """Sides of a main beam that a secondary one covers below the slab; the deeper of two is the main."""
    prisms = {prism.name: prism for prism in solid.prisms if prism.kind == Kind.BEAM}
    under = -rings.on_grid(sheet.thickness_mm)
    for one, other in combinations([beam for beam in sheet.beams if beam.name in prisms], 2):
        main, second = sorted((one, other), key=lambda beam: -beam.depth_mm)
        height = _shared_height(prisms[main.name], prisms[second.name], under=under)
        crossing = rings.intersection(
            rings.strip(second.line, width_mm=second.width_mm), prisms[main.name].region
        )
        if height and crossing:
            rim = rings.grown(prisms[main.name].region, by_mm=1)
            beyond = rings.intersection(
                rings.difference(rim, prisms[main.name].region), prisms[second.name].region
            )
            length = rings.area_mm2(beyond)  # a rim of 1 mm: its area in mm² is its length in mm
            if length:
                yield length * height / 1e3, _BEHIND.format(main=main.name, other=second.name)


def _shared_height(main: Prism, second: Prism, *, under: int) -> float:
    """Height over which both pass below the slab [µm]."""
    return max(0, min(main.top, second.top, under) - max(main.bottom, second.bottom))


def _edges(seen: Sequence[Face], *, existing: Sequence[ExistingJoint], rules: _Rules) -> Iterator[Quantity]:
    """Edges by height, less those cast against existing concrete in the band of their own height."""
    bands = sorted(value.value for key, value in rules.values.items() if key.startswith("edge_band."))
    keys = [key for key in rules.values if key.startswith("edge_band.")]
    groups: dict[float | None, list[Face]] = defaultdict(list)
    for face in seen:
        if face.kind == FaceKind.EDGE:
            groups[_band(face.height_mm, bands=bands)].append(face)
    for number, (band, own) in enumerate(sorted(groups.items(), key=lambda item: item[0] or _TALL), start=1):
        in_metres = rules.edge_in_metres and band is not None
        against = [joint for joint in existing if _band(joint.thickness_mm, bands=bands) == band]
        inputs, formula = _edge_terms(own, against=against, in_metres=in_metres)
        line = _line(
            f"edge.{number}",
            words=(
                gettext_noop("Edges of the slab as measured for the bill"),
                "m" if in_metres else "m²",
            ),
            formula=formula,
            inputs=inputs,
            rules=rules,
            source=rules.source(*keys),
        )
        yield replace(line, member=f"≤ {band:g} mm" if band is not None else "")


def _band(height_mm: float, *, bands: Sequence[float]) -> float | None:
    return next((band for band in bands if height_mm <= band), None)


def _edge_terms(
    own: Sequence[Face], *, against: Sequence[ExistingJoint], in_metres: bool
) -> tuple[dict[str, Input], str]:
    rows = [("length", face.length_mm, face.height_mm, "geometry of the drawing") for face in own]
    rows += [("against", rings.length_mm(joint.line), joint.thickness_mm, "drawing") for joint in against]
    inputs: dict[str, Input] = {}
    formula = ""
    for rank, (word, length, height, source) in enumerate(rows, start=1):
        inputs[f"{word}_{rank}"] = Input(length / 1e3, "m", source)
        formula += f" {'-' if word == 'against' else '+'} {word}_{rank}"
        if not in_metres:
            inputs[f"height_{rank}"] = Input(height / 1e3, "m", "drawing")
            formula += f" * height_{rank}"
    return inputs, formula.removeprefix(" + ")


def _line(
    key: str, *, words: tuple[str, str], formula: str, inputs: dict[str, Input], rules: _Rules, source: str
) -> Quantity:
    """A line that is only stated; `words` are its title and its unit."""
    title, unit = words
    return Quantity(
        key=f"measured.{key}",
        member="",
        title=title,
        unit=unit,
        formula=formula,
        inputs=inputs,
        method=f"rules {rules.name}",
        source=source,
    )
