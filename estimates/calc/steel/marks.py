"""One row of the bar schedule worked out: bars, lengths, mass, and what to ask the engineer about it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from estimates.calc import derivation
from estimates.calc.derivation import Input
from estimates.calc.sheet.steel import BarMark
from estimates.calc.sheet.types import Shape
from estimates.calc.spacing import Piece
from estimates.calc.steel import bent, counts, findings, members, shapes
from estimates.calc.steel.counts import Counted
from estimates.calc.steel.findings import Finding
from estimates.calc.steel.rules import Rules
from estimates.calc.steel.shapes import CuttingLength
from estimates.standards.values import Profile


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A mark in bars, metres and kilograms; `formula` worked out from `inputs` gives `mass_kg`.

    `count` is the number in one member that the quantities stand on; `own_count` is what the counting rule
    gives, None without one. `pieces` are all bars of the mark by length, joined ones by their parts.
    `dimensions` are the schedule's by letter [mm], `catalogue` the edition in which the shape is read. `laps`
    and `couplers` are the joints of all its bars.
    """

    mark: str
    member: str
    size_mm: int
    shape: Shape
    count: int
    own_count: int | None
    members: int
    pieces: tuple[Piece, ...]
    mass_kg: float
    method: str
    source: str
    formula: str
    inputs: Mapping[str, Input]
    findings: tuple[Finding, ...]
    dimensions: Mapping[str, float] = field(default_factory=dict)
    catalogue: str = ""
    remark: str = ""
    laps: int = 0
    couplers: int = 0

    @property
    def bars(self) -> int:
        """Bars of the mark in all its members, a joined one by its parts."""
        return sum(piece.count for piece in self.pieces)

    @property
    def cutting_length_mm(self) -> float | None:
        """The one length of all bars [mm]; None when they have several, or there is no bar."""
        return self.pieces[0].length_mm if len(self.pieces) == 1 else None

    @property
    def total_length_mm(self) -> float:
        """Length of all bars together [mm]."""
        return sum(piece.length_mm * piece.count for piece in self.pieces)


@dataclass(frozen=True, slots=True, kw_only=True)
class Context:
    """What all marks of one sheet share."""

    profile: Profile
    rules: Rules
    cover_mm: float
    beam_cover_mm: float | None
    slab: str
    beams: frozenset[str]

    def cover_of(self, member: str) -> float:
        """Cover of the beams where the schedule's words name one, else of the slab [mm]."""
        if self.beam_cover_mm is not None and members.beams_named(member, beams=self.beams):
            return self.beam_cover_mm
        return self.cover_mm

    @property
    def stock_mm(self) -> float:
        """Length of a stock bar [mm]."""
        return self.profile.number("steel.stock_length")

    def mass_per_metre(self, size_mm: int) -> Input:
        """Nominal mass of a bar from the standard's table [kg/m]. Raises: StandardsError: no such bar."""
        bar = self.profile.bar(size_mm)
        return Input(bar.mass_kg_per_m, "kg/m", bar.citation)


def work_out(bar: BarMark, *, context: Context, counted: Counted | None = None) -> Mark:
    """Works out a row of the bar schedule; its printed count and dimensions win.

    Source: the schedule; cutting length and count by the named methods; mass by the standard's bar table.

    Args:
        bar: the row, dimensions [mm].
        context: profile, methods, cover and names of the sheet.
        counted: number in one member where neither the row nor its rule says it.

    Returns:
        The mark: lengths [mm], mass [kg].

    Raises:
        ValueError: the profile's table has no such bar, or the row has neither a count nor a rule.

    >>> from estimates.calc.sheet.steel import SteelMethods
    >>> from estimates.calc.steel import rules
    >>> from estimates.standards import load
    >>> profile = load.profile("is")
    >>> chosen = rules.choose(SteelMethods(), profile=profile)
    >>> covers = {"cover_mm": 20, "beam_cover_mm": None}
    >>> context = Context(profile=profile, rules=chosen, slab="Roof", beams=frozenset(), **covers)
    >>> row = {"mark": "S5", "member": "slab", "size_mm": 8, "shape": "straight", "dimensions": {"A": 9150}}
    >>> round(work_out(BarMark(**row, per_member=21), context=context).mass_kg, 3)
    75.899
    """
    cut = shapes.cutting_length(bar, rules=context.rules)
    counted, own = (counted, None) if counted is not None else _counted(bar, context=context)
    formula, inputs = _mass(bar, cut=cut, counted=counted, mass=context.mass_per_metre(bar.size_mm))
    piece = Piece(cut.length_mm, counted.count * bar.members)
    return Mark(
        mark=bar.mark,
        member=bar.member,
        size_mm=bar.size_mm,
        shape=bar.shape,
        count=counted.count,
        own_count=own,
        members=bar.members,
        pieces=(piece,),
        mass_kg=derivation.work_out(formula, inputs=inputs),
        method=f"{cut.method}; count {counted.method}",
        source=cut.source,
        formula=formula,
        inputs=inputs,
        findings=tuple(_findings(bar, piece=piece, count=counted.count, own=own, context=context)),
        dimensions=shapes.dimensions(bar),
        catalogue=_catalogue(bar, rules=context.rules),
        remark=bar.remark,
    )


def _catalogue(bar: BarMark, *, rules: Rules) -> str:
    """Title and so edition of the catalogue in which the shape is read."""
    catalogue = rules.catalogue_of(bar.shape)
    return catalogue.title if catalogue is not None else ""


def _mass(
    bar: BarMark, *, cut: CuttingLength, counted: Counted, mass: Input
) -> tuple[str, Mapping[str, Input]]:
    """Bars × cutting length × mass per metre, as a formula with its inputs."""
    inputs = {
        **counted.inputs,
        "members": Input(bar.members, "no.", f"bar schedule, mark {bar.mark}"),
        **cut.inputs,
        "mass_per_metre": mass,
    }
    length = cut.formula if cut.formula.isidentifier() else f"({cut.formula})"
    return f"{counted.formula} * members * {length} / 1000 * mass_per_metre", inputs


def _counted(bar: BarMark, *, context: Context) -> tuple[Counted, int | None]:
    """The count that stands, and the rule's own beside it."""
    row = f"bar schedule, mark {bar.mark}"
    by_rule = None
    if bar.count_rule is not None:
        cover_mm = context.cover_of(bar.member)
        by_rule = counts.by_rule(bar.count_rule, rules=context.rules, cover_mm=cover_mm, read_in=row)
    own = by_rule.count if by_rule is not None else None
    if bar.per_member is not None:
        count = {"count": Input(bar.per_member, "no.", row)}
        return Counted(bar.per_member, "count", count, "as the schedule prints it"), own
    if by_rule is None:
        message = f"bar {bar.mark}: has neither a number per member nor a counting rule; give one"
        raise ValueError(message)
    return by_rule, own


def _findings(
    bar: BarMark, *, piece: Piece, count: int, own: int | None, context: Context
) -> Iterator[Finding]:
    if own is not None and own != count:
        yield findings.count_differs(bar.mark, printed=count, own=own)
    yield from bent.questions(bar, rules=context.rules)
    named = members.number_named(bar.member, beams=context.beams, slab=context.slab)
    if named is not None and named != bar.members:
        yield findings.members_differ(bar.mark, printed=bar.members, member=bar.member, named=named)
    if piece.length_mm > context.stock_mm:
        yield findings.longer_than_stock(
            bar.mark, length_mm=piece.length_mm, stock_mm=context.stock_mm, bars=piece.count
        )
