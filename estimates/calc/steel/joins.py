"""Bars longer than stock, joined as the engineer answered: laps and couplers enter a mark only so."""

import math
from dataclasses import replace
from typing import Final

from estimates.calc import derivation
from estimates.calc.derivation import Input
from estimates.calc.sheet.answers import Answer
from estimates.calc.spacing import Piece
from estimates.calc.steel import findings
from estimates.calc.steel.findings import Finding
from estimates.calc.steel.marks import Mark

_NOISE_MM: Final = 0.001


def by_answer(mark: Mark, *, answer: Answer, stock_mm: float) -> Mark:
    """Joins the bars of a mark that are longer than stock.

    Source: the engineer's answer; derived: a bar of length L with n laps takes L + n laps of steel, in full
    stock bars and one rest.

    Args:
        mark: the mark as the schedule or the spacing gives it [mm].
        answer: an answer about laps or couplers of this mark.
        stock_mm: length of a stock bar [mm].

    Returns:
        The mark with its laps or couplers; the same mark where no bar is longer than stock.

    Raises:
        ValueError: laps as long as a stock bar.
    """
    lap = answer.lap_mm or 0.0
    if lap >= stock_mm:
        message = f"{mark.mark}: a lap of {lap:g} mm is as long as a stock bar of {stock_mm:g} mm; correct it"
        raise ValueError(message)
    pieces: dict[float, int] = {}
    joints, asks = 0, list[Finding]()
    for piece in mark.pieces:
        number = 0
        if piece.length_mm > stock_mm + _NOISE_MM:
            number = answer.joints or fewest(piece.length_mm, lap_mm=lap, stock_mm=stock_mm)
            asks.append(_ask(mark.mark, piece=piece, number=number, answer=answer, stock_mm=stock_mm))
        joints += number * piece.count
        for length in parts(piece.length_mm + number * lap, number=number + 1, stock_mm=stock_mm):
            pieces[length] = pieces.get(length, 0) + piece.count
    if not joints:
        return mark
    lapped = _with_steel(mark, answer=answer, joints=joints) if lap else mark
    open_still = [one for one in mark.findings if one.code != findings.LONGER_THAN_STOCK]
    return replace(
        lapped,
        pieces=tuple(Piece(length, pieces[length]) for length in sorted(pieces, reverse=True)),
        method=f"{mark.method}; {joints} {answer.question}s by the answer of {findings.who(answer)}",
        findings=(*open_still, *asks),
        laps=joints if lap else 0,
        couplers=0 if lap else joints,
    )


def fewest(length_mm: float, *, lap_mm: float, stock_mm: float) -> int:
    """The fewest joints that make a bar out of stock bars.

    Source: derived: n + 1 stock bars reach (n + 1) stock - n laps.

    Args:
        length_mm: length of the bar [mm].
        lap_mm: length of a lap, 0 for a coupler [mm].
        stock_mm: length of a stock bar, longer than the lap [mm].

    Returns:
        The number of joints.

    >>> fewest(13000, lap_mm=600, stock_mm=12000), fewest(23500, lap_mm=600, stock_mm=12000)
    (1, 2)
    """
    return max(0, math.ceil((length_mm - lap_mm - _NOISE_MM) / (stock_mm - lap_mm)) - 1)


def parts(total_mm: float, *, number: int, stock_mm: float) -> list[float]:
    """Cuts a total into parts: full stock bars and one rest; where that leaves too few parts, equal ones.

    Source: derived: full bars leave no offcut.

    Args:
        total_mm: length of all parts together [mm].
        number: how many there are.
        stock_mm: length of a stock bar [mm].

    Returns:
        The lengths [mm], longest first.

    >>> parts(13600, number=2, stock_mm=12000), parts(13600, number=4, stock_mm=12000)
    ([12000, 1600], [3400.0, 3400.0, 3400.0, 3400.0])
    """
    rest = total_mm - (number - 1) * stock_mm
    if number == 1 or rest > 0:
        return sorted([stock_mm] * (number - 1) + [rest], reverse=True)
    return [total_mm / number] * number


def _with_steel(mark: Mark, *, answer: Answer, joints: int) -> Mark:
    """The mark with the steel of its laps in its formula."""
    source = f"answer of {findings.who(answer)}"
    inputs = {
        **mark.inputs,
        "laps": Input(joints, "no.", source),
        "lap": Input(answer.lap_mm or 0.0, "mm", source),
    }
    formula = f"{mark.formula} + laps * lap / 1000 * mass_per_metre"
    return replace(mark, formula=formula, inputs=inputs, mass_kg=derivation.work_out(formula, inputs=inputs))


def _ask(mark: str, *, piece: Piece, number: int, answer: Answer, stock_mm: float) -> Finding:
    """What stands after the answer: joined as it says, or joints that do not make the bar."""
    lap = answer.lap_mm or 0.0
    if piece.length_mm + number * lap > (number + 1) * stock_mm + _NOISE_MM:
        return findings.joints_do_not_fit(
            mark, length_mm=piece.length_mm, stock_mm=stock_mm, joints=number, lap_mm=lap
        )
    asked = findings.longer_than_stock(mark, length_mm=piece.length_mm, stock_mm=stock_mm, bars=piece.count)
    return findings.answered(asked, answer=answer)
