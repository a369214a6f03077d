from hypothesis import given
from hypothesis import strategies as st

from inventory.calc import balance, reversal
from inventory.calc.balance import Movement
from inventory.calc.places import Place, PlaceKind

PLACES = [Place(kind, 1) for kind in PlaceKind]


@st.composite
def records(draw):
    moves = []
    for index in range(draw(st.integers(0, 25))):
        source, target = draw(st.lists(st.sampled_from(PLACES), min_size=2, max_size=2, unique=True))
        moves.append(
            Movement(
                key=str(index),
                source=source,
                target=target,
                material=draw(st.sampled_from(["cement", "sand"])),
                lot=draw(st.sampled_from(["", "week 9"])),
                quantity=draw(st.integers(1, 10**12)),
                value=draw(st.integers(0, 10**12)),
            )
        )
    return tuple(moves)


@given(records())
def test_everything_adds_up_to_nothing(moves):
    found = balance.quantities(moves)
    for material in ("cement", "sand"):
        assert sum(quantity for slot, quantity in found.items() if slot.material == material) == 0


@given(records(), st.randoms(use_true_random=False))
def test_balances_do_not_depend_on_the_order(moves, random):
    shuffled = list(moves)
    random.shuffle(shuffled)
    assert balance.quantities(shuffled) == balance.quantities(moves)


@given(records())
def test_taking_everything_back_leaves_nothing(moves):
    backs = tuple(reversal.reverse(move, key=f"{move.key} back") for move in reversed(moves))
    assert reversal.faults(moves + backs) == ()
    assert balance.quantities(moves + backs) == {}
    assert balance.pools(moves + backs) == {}


@given(records())
def test_a_record_without_shortfalls_never_goes_below_nothing(moves):
    sound = []
    for move in moves:
        if balance.shortfalls([*sound, move]) == ():
            sound.append(move)
            after = balance.quantities(sound)
            assert min((quantity for slot, quantity in after.items() if slot.place.guarded), default=0) >= 0
