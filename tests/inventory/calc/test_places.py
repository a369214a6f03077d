from inventory.calc.places import Place, PlaceKind


def test_places_that_can_be_touched_are_guarded():
    guarded = {str(kind) for kind in PlaceKind if Place(kind).guarded}
    assert guarded == {"store", "quarantine", "in_transit", "bench", "slab"}


def test_place_names_kind_and_number():
    assert str(Place(PlaceKind.SLAB, 7)) == "slab 7"
