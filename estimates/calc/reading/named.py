"""Names in a design sheet: each stands once in its list."""

from collections.abc import Iterator, Mapping

from estimates.calc.sheet.faults import Fault, show


def twice(names: Mapping[int, str], *, kind: str) -> Iterator[Fault]:
    """Finds names that stand twice.

    Source: derived: a message, a bar and a line of the bill name a thing by its name alone.

    Args:
        names: the names by index.
        kind: the list, as "openings".

    Returns:
        A fault for each repetition.

    >>> [fault.path for fault in twice({0: "B1", 1: "B2", 2: "B1"}, kind="beams")]
    ['beams[2].name']
    """
    seen: dict[str, int] = {}
    for index, name in names.items():
        first = seen.setdefault(name, index)
        if first != index:
            yield Fault(
                f"{kind}[{index}].name",
                "duplicate_name",
                f"name {show(name)} already stands at {kind}[{first}]; give each its own",
            )
