"""Formwork of what is cast beside the slab's layers: stairs and sunshades, each by its own section."""

from collections.abc import Iterator
from typing import Final

from estimates.calc import concrete
from estimates.calc.concrete import Beside
from estimates.calc.derivation import Input, Quantity
from estimates.calc.formwork.lines import area_line
from estimates.calc.sheet.shape import Flight, Sunshade
from estimates.calc.wording import gettext_noop

_SOURCE: Final = "drawing"


def quantities(beside: Beside, *, source: str) -> Iterator[Quantity]:
    """Contact areas of flights and sunshades.

    Source: derived: faces of their sections; for what is measured see the caller's rule.

    Args:
        beside: the flights and sunshades.
        source: where the rule of measurement stands.

    Yields:
        `formwork.flight.n` and `formwork.sunshade.n` [m²].
    """
    for number, flight in enumerate(beside.flights, start=1):
        yield _flight(flight, number=number, source=source)
    for number, sunshade in enumerate(beside.sunshades, start=1):
        yield _sunshade(sunshade, number=number, source=source)


def _flight(flight: Flight, *, number: int, source: str) -> Quantity:
    """Soffit, risers, open sides; landings by their soffit and the edges that need a form."""
    inputs = {
        "steps": Input(flight.steps, "no.", _SOURCE),
        "going": Input(flight.going_mm / 1e3, "m", _SOURCE),
        "riser": Input(flight.riser_mm / 1e3, "m", _SOURCE),
        "waist": Input(flight.waist_mm / 1e3, "m", _SOURCE),
        "width": Input(flight.width_mm / 1e3, "m", _SOURCE),
        "open_sides": Input(flight.open_sides, "no.", _SOURCE),
    }
    slope = concrete.SLOPE
    formula = (
        f"{slope} * width + steps * riser * width"
        f" + open_sides * ({slope} * waist + steps * going * riser / 2)"
    )
    for rank, landing in enumerate(flight.landings, start=1):
        inputs[f"length_{rank}"] = Input(landing.length_mm / 1e3, "m", _SOURCE)
        inputs[f"width_{rank}"] = Input(landing.width_mm / 1e3, "m", _SOURCE)
        inputs[f"edge_{rank}"] = Input(landing.formed_edge_mm / 1e3, "m", _SOURCE)
        inputs[f"thickness_{rank}"] = Input(landing.thickness_mm / 1e3, "m", _SOURCE)
        formula += f" + length_{rank} * width_{rank} + edge_{rank} * thickness_{rank}"
    return area_line(
        f"flight.{number}",
        member=flight.name,
        title=gettext_noop("Flight: soffit, risers, open sides and landings"),
        formula=formula,
        inputs=inputs,
        source=source,
    )


def _sunshade(sunshade: Sunshade, *, number: int, source: str) -> Quantity:
    """Soffit, front and ends, less the face of the concrete that its root covers."""
    return area_line(
        f"sunshade.{number}",
        member=sunshade.name,
        title=gettext_noop("Sunshade: soffit, front and ends, less the face behind its root"),
        formula=(
            "length * (projection ** 2 + (root - tip) ** 2) ** 0.5 + length * tip "
            "+ projection * (root + tip) - length * root"
        ),
        inputs=concrete.sunshade_inputs(sunshade),
        source=source,
    )
