"""Net concrete of a slab and of what is cast with it, by geometry."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from estimates.calc.derivation import Input, Quantity, carried
from estimates.calc.geometry.solid import Kind, Layer, Prism, Solid
from estimates.calc.sheet.shape import Flight, Sunshade
from estimates.calc.wording import gettext_noop
from estimates.standards.load import Profile

_PLAN: Final = "geometry of the drawing: footprint less openings"
_PANEL: Final = "geometry of the drawing: panel {name} less openings"
_MEMBERS: Final = "geometry of the drawing: what lies outside of the slab, crossings once, less openings"
_SOURCE: Final = "drawing"

_OF_KIND: Final = (
    (Kind.SIDE, "sides", gettext_noop("sides"), gettext_noop("Concrete in the sides of sunken panels")),
    (Kind.BEAM, "beams", gettext_noop("beams"), gettext_noop("Concrete in the beams below the slab")),
    (Kind.UPSTAND, "upstands", gettext_noop("upstands"), gettext_noop("Concrete in the upstands")),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """What is cast with the slab beside its layers, in the order of the sheet."""

    flights: Sequence[Flight] = ()
    sunshades: Sequence[Sunshade] = ()


NOTHING_BESIDE: Final = Beside()


def quantities(solid: Solid, *, profile: Profile, beside: Beside = NOTHING_BESIDE) -> tuple[Quantity, ...]:
    """Concrete in the slab, its panels, sides, beams, upstands, stairs and sunshades, and in all.

    Source: derived: footprint × height of each layer. Steel is not deducted, nor is it by IS 1200 part 2.

    Args:
        solid: the slab's layers.
        profile: the standards profile.
        beside: stairs and sunshades.

    Returns:
        `concrete.slab`, one more for each kind that there is, and last `concrete.net` [m³].

    >>> from estimates.calc.geometry.solid import Plan, build
    >>> plain = build(Plan(outlines=[[(0, 0), (4000, 0), (4000, 3000), (0, 3000)]], thickness_mm=125))
    >>> from estimates.standards import load
    >>> [(item.key, item.net) for item in quantities(plain, profile=load.profile("is"))]
    [('concrete.slab', 1.5), ('concrete.net', 1.5)]
    """
    source = profile.choice("measure.concrete").citation
    parts = list(_parts(solid, source=source, beside=beside))
    inputs = {part.key.removeprefix("concrete.").replace(".", "_"): carried(part) for part in parts}
    total = _quantity(
        "concrete.net",
        source=source,
        member="",
        title=gettext_noop("Concrete, net"),
        formula=" + ".join(inputs),
        inputs=inputs,
    )
    return (*parts, total)


def slab_area(solid: Solid) -> Input:
    """The slab's area in plan, openings off.

    Source: derived: shoelace rule on the clipped outline.

    Args:
        solid: the slab's layers.

    Returns:
        The area [m²].

    >>> from estimates.calc.geometry.solid import Plan, build
    >>> slab_area(build(Plan(outlines=[[(0, 0), (4, 0), (4, 3), (0, 3)]], thickness_mm=125))).value
    1.2e-05
    """
    return Input(value=solid.area_mm2 / 1e6, unit="m²", source=_PLAN)


def thickness(piece: Prism) -> Input:
    """Thickness of the slab or of one of its panels.

    Source: the drawing.

    Args:
        piece: the slab itself or a panel.

    Returns:
        The thickness [m].
    """
    return Input(value=piece.thickness_mm / 1e3, unit="m", source=_SOURCE)


def _parts(solid: Solid, *, source: str, beside: Beside) -> Iterator[Quantity]:
    yield from _pieces(solid.pieces, source=source)
    for kind, name, member, title in _OF_KIND:
        runs = _runs(solid, kind=kind)
        if runs:
            yield _quantity(
                f"concrete.{name}",
                source=source,
                member=member,
                title=title,
                formula=" + ".join(f"area_{rank} * height_{rank}" for rank in range(1, len(runs) + 1)),
                inputs=_run_inputs(runs, kind=kind),
            )
    yield from beside_lines(beside, source=source)


def beside_lines(beside: Beside, *, source: str) -> Iterator[Quantity]:
    """Concrete in stairs and sunshades, each by its own section.

    Source: derived: the flight's section is its waist and its steps, the sunshade's a trapezium.

    Args:
        beside: the flights and sunshades.
        source: where the rule of measurement stands.

    Yields:
        `concrete.flight.n`, then `concrete.sunshade.n` [m³].
    """
    for number, flight in enumerate(beside.flights, start=1):
        yield _flight(flight, number=number, source=source)
    for number, sunshade in enumerate(beside.sunshades, start=1):
        yield _sunshade(sunshade, number=number, source=source)


def _pieces(pieces: Sequence[Prism], *, source: str) -> Iterator[Quantity]:
    """The slab at its own thickness, then its panels."""
    base = next((piece for piece in pieces if not piece.name), None)
    if base is not None:
        area = Input(value=base.area_mm2 / 1e6, unit="m²", source=_PLAN)
        yield _quantity(
            "concrete.slab",
            source=source,
            member=gettext_noop("slab"),
            title=gettext_noop("Concrete in the slab's thickness"),
            formula="area * thickness",
            inputs={"area": area, "thickness": thickness(base)},
        )
    panels = [piece for piece in pieces if piece.name]
    inputs: dict[str, Input] = {}
    for number, panel in enumerate(panels, start=1):
        source_of = _PANEL.format(name=panel.name)
        inputs[f"area_{number}"] = Input(value=panel.area_mm2 / 1e6, unit="m²", source=source_of)
        inputs[f"thickness_{number}"] = thickness(panel)
    if panels:
        yield _quantity(
            "concrete.panels",
            source=source,
            member=gettext_noop("slab"),
            title=gettext_noop("Concrete in the panels of their own thickness or level"),
            formula=" + ".join(f"area_{n} * thickness_{n}" for n in range(1, len(panels) + 1)),
            inputs=inputs,
        )


def _runs(solid: Solid, *, kind: Kind) -> list[tuple[Layer, Layer]]:
    """Neighbouring layers to which a kind adds the same area, as first and last."""
    runs: list[tuple[Layer, Layer]] = []
    for layer in solid.layers:
        added = layer.doubled.get(kind, 0)
        if not added:
            continue
        if runs and runs[-1][1].bottom == layer.top and runs[-1][0].doubled.get(kind, 0) == added:
            runs[-1] = (runs[-1][0], layer)
        else:
            runs.append((layer, layer))
    return runs


def _run_inputs(runs: Sequence[tuple[Layer, Layer]], *, kind: Kind) -> dict[str, Input]:
    inputs: dict[str, Input] = {}
    for rank, (first, last) in enumerate(runs, start=1):
        reach = f"drawing: from level {first.top_mm:g} to {last.bottom_mm:g} mm, the slab's top being 0"
        height = (first.top_mm - last.bottom_mm) / 1e3
        inputs[f"area_{rank}"] = Input(value=first.area_of(kind) / 1e6, unit="m²", source=_MEMBERS)
        inputs[f"height_{rank}"] = Input(value=height, unit="m", source=reach)
    return inputs


def _flight(flight: Flight, *, number: int, source: str) -> Quantity:
    inputs = {
        "steps": Input(flight.steps, "no.", _SOURCE),
        "going": Input(flight.going_mm / 1e3, "m", _SOURCE),
        "riser": Input(flight.riser_mm / 1e3, "m", _SOURCE),
        "waist": Input(flight.waist_mm / 1e3, "m", _SOURCE),
        "width": Input(flight.width_mm / 1e3, "m", _SOURCE),
    }
    formula = f"({SLOPE} * waist + steps * going * riser / 2) * width"
    for rank, landing in enumerate(flight.landings, start=1):
        inputs[f"length_{rank}"] = Input(landing.length_mm / 1e3, "m", _SOURCE)
        inputs[f"width_{rank}"] = Input(landing.width_mm / 1e3, "m", _SOURCE)
        inputs[f"thickness_{rank}"] = Input(landing.thickness_mm / 1e3, "m", _SOURCE)
        formula += f" + length_{rank} * width_{rank} * thickness_{rank}"
    return _quantity(
        f"concrete.flight.{number}",
        source=source,
        member=flight.name,
        title=gettext_noop("Concrete in the flight: waist, steps and landings"),
        formula=formula,
        inputs=inputs,
    )


SLOPE: Final = "((steps * going) ** 2 + (steps * riser) ** 2) ** 0.5"
"""Length of a flight along its slope, in the names of its inputs."""


def _sunshade(sunshade: Sunshade, *, number: int, source: str) -> Quantity:
    return _quantity(
        f"concrete.sunshade.{number}",
        source=source,
        member=sunshade.name,
        title=gettext_noop("Concrete in the sunshade"),
        formula="length * projection * (root + tip) / 2",
        inputs=sunshade_inputs(sunshade),
    )


def sunshade_inputs(sunshade: Sunshade) -> dict[str, Input]:
    """What a sunshade measures.

    Source: the drawing.

    Args:
        sunshade: the sunshade.

    Returns:
        `length`, `projection`, `root` and `tip`, the thicknesses there [m].
    """
    (x1, y1), (x2, y2) = sunshade.start, sunshade.end
    length = ((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5
    tip = sunshade.thickness_mm if sunshade.tip_thickness_mm is None else sunshade.tip_thickness_mm
    return {
        "length": Input(length / 1e3, "m", _SOURCE),
        "projection": Input(sunshade.projection_mm / 1e3, "m", _SOURCE),
        "root": Input(sunshade.thickness_mm / 1e3, "m", _SOURCE),
        "tip": Input(tip / 1e3, "m", _SOURCE),
    }


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
