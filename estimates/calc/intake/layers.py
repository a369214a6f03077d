"""Which layer of a drawing is what: asked, with a proposal from its name."""

from collections.abc import Iterable, Mapping
from typing import Final, Literal

from estimates.calc.intake.found import Answers, Choice, Question
from estimates.calc.intake.plan import Layer, Plan

Role = Literal["outline", "openings", "beams", "panels", "words", "nothing"]

_WORDS: Final[Mapping[Role, str]] = {
    "outline": "the slab's outline",
    "openings": "openings through the slab",
    "beams": "centre lines of beams",
    "panels": "parts of another thickness or level",
    "words": "labels and titles",
    "nothing": "nothing of the slab",
}
_SIGNS: Final[tuple[tuple[Role, tuple[str, ...]], ...]] = (
    ("openings", ("opng", "open", "hole", "void", "duct", "cutout")),
    ("beams", ("beam", "girder", "rib")),
    ("panels", ("panel", "sunk", "sunken", "drop", "thick")),
    ("words", ("text", "anno", "note", "label", "dim", "title")),
    ("outline", ("edge", "outline", "slab", "perim", "boundary", "concrete")),
)
_PREFIX: Final = "plan.layer."


def questions(plan: Plan) -> list[Question]:
    """Asks of every layer what is drawn on it.

    Source: derived: layers have no standard name; the proposal is read from the name.

    Args:
        plan: the drawing.

    Returns:
        One question for each layer, in order of the names.
    """
    return [
        Question(
            id=_PREFIX + layer.name,
            about="plan",
            text=f"What is on layer {layer.name}?",
            why=_holds(layer),
            choices=tuple(Choice(value=role, words=_WORDS[role]) for role in _possible(layer)),
            suggested=proposed(layer),
        )
        for layer in plan.layers
    ]


def with_role(plan: Plan, *, role: Role, answers: Answers) -> list[str]:
    """Names the layers that a person has given a role.

    Source: derived.

    Args:
        plan: the drawing.
        role: the role.
        answers: the answers so far.

    Returns:
        The layers' names.
    """
    return [layer.name for layer in plan.layers if answers.get(_PREFIX + layer.name) == role]


def open_ones(plan: Plan, *, answers: Answers) -> bool:
    """Tells whether a layer is still without a role.

    Source: derived.

    Args:
        plan: the drawing.
        answers: the answers so far.

    Returns:
        True while one is.
    """
    return any(_PREFIX + layer.name not in answers for layer in plan.layers)


def proposed(layer: Layer) -> Role:
    """Proposes a layer's role from its name and from what is drawn on it.

    Source: derived: words that layer names are made of.

    Args:
        layer: the layer.

    Returns:
        A role that its things can have.

    >>> proposed(Layer(name="S-OPNG", rings=2, lines=0, words=0))
    'openings'
    """
    possible = _possible(layer)
    name = layer.name.lower()
    named = (role for role, signs in _SIGNS if any(sign in name for sign in signs))
    return next((role for role in named if role in possible), "words" if layer.words else "nothing")


def _possible(layer: Layer) -> list[Role]:
    found: list[Role] = []
    if layer.rings or layer.lines:
        found += ["outline", "openings", "beams", "panels"]
    if layer.words:
        found.append("words")
    return [*found, "nothing"]


def _holds(layer: Layer) -> str:
    parts: Iterable[tuple[int, str]] = (
        (layer.rings, "outlines"),
        (layer.lines, "single lines"),
        (layer.words, "texts"),
    )
    return ", ".join(f"{words}: {count}" for count, words in parts if count)
