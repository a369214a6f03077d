import pytest

from inventory.calc.reorder import lots
from inventory.calc.reorder.lots import LOOSE, Pack

BAG = Pack(content=50, name="bag of 50 kg")


@pytest.mark.parametrize(
    ("net", "pack", "expected"),
    [
        # 10 m3 at 1:1.5:3 take 4,058 kg = 81.16 bags (rate-analysis notes with IS 7272 constants): 82 to buy.
        (4_058, BAG, 82),
        (4_050, BAG, 81),
        (1, BAG, 1),
        (0, BAG, 0),
        (0, Pack(content=50, minimum=500), 0),
        (60, Pack(content=50, minimum=500), 10),
        (60, Pack(content=50, minimum=510), 11),
        (7, LOOSE, 7),
    ],
)
def test_packs_for(net, pack, expected):
    assert lots.packs_for(net, pack=pack) == expected


@pytest.mark.parametrize(
    ("nets", "pack", "expected"),
    [
        ([30, 10, 20], BAG, (1, 0, 1)),
        ([0, 60, 0, 40], BAG, (0, 2, 0, 0)),
        ([60, 0, 40], Pack(content=50, minimum=500), (2, 0, 8)),
        ([0, 0], Pack(content=50, minimum=500), (0, 0)),
        ([], BAG, ()),
    ],
)
def test_divide_packs(nets, pack, expected):
    assert lots.divide_packs(nets, pack=pack) == expected


def test_negative_net_is_refused():
    with pytest.raises(ValueError, match="net requirement -1 must be 0 or more"):
        lots.packs_for(-1, pack=BAG)
    with pytest.raises(ValueError, match="net requirement -1 must be 0 or more"):
        lots.divide_packs([5, -1], pack=BAG)


@pytest.mark.parametrize(
    ("content", "minimum", "message"),
    [(0, 0, "content 0 of a pack must be above 0"), (1, -1, "minimum quantity -1 must be 0 or more")],
)
def test_pack_refuses(content, minimum, message):
    with pytest.raises(ValueError, match=message):
        Pack(content=content, minimum=minimum)
