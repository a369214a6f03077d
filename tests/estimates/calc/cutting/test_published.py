"""Published instances of the cutting-stock problem, and classes rebuilt from their published description."""

import pytest

from estimates.calc.cutting import checking
from estimates.calc.cutting.facts import Method
from tests.estimates.calc.cutting import tasks

# Bin-packing file of the arc-flow solver VPSolver; Schwerin and Wäscher's class, where 18 is best.
SCHWERIN = tasks.read(
    "150:1 151:4 152:1 155:1 156:3 157:2 158:2 159:2 161:3 162:2 163:4 164:1 165:1 166:3 167:4 168:4 169:2 "
    "170:2 171:1 172:1 173:1 174:3 175:4 176:1 178:3 179:2 180:3 181:2 182:3 183:1 184:2 185:2 186:1 187:3 "
    "188:1 189:3 190:1 191:1 192:2 193:1 194:2 195:7 197:4 198:2 200:1"
)
# BPPLIB.jl, class PM, first instances of 10 and 20 pieces.
SMALL_10 = dict.fromkeys((24, 44, 76, 78, 52, 96, 58, 67, 74, 59), 1)
SMALL_20 = {52: 1, 60: 1, 67: 1, 23: 2, 26: 1, 45: 1, 76: 1, 43: 1, 85: 1, 82: 1, 41: 1, 56: 1, 25: 1, 83: 1}
SMALL_20 |= {50: 1, 72: 1, 39: 2, 21: 1}


@pytest.mark.parametrize(
    ("stock", "lengths", "bars"),
    [
        pytest.param(5600, tasks.PAPER_MILL, 73, id="paper mill, encyclopedia example"),
        # Fourer, Gay and Kernighan: rounding the linear program up gives 50, its value is 46.25.
        pytest.param(110, {20: 48, 45: 35, 50: 24, 55: 10, 75: 8}, 47, id="AMPL book"),
        pytest.param(17, {9: 15, 5: 20, 3: 25}, 19, id="Winston"),
        # A counter-example of the Fieldhouse type: with patterns not bounded by demand, the bound is 2.
        pytest.param(132, {44: 2, 33: 3, 12: 6}, 3, id="without integer round-up"),
        pytest.param(5180, {1250: 5, 1150: 64, 1120: 9, 1066: 18, 1000: 11, 520: 91}, 33, id="VPSolver, six"),
        pytest.param(1000, SCHWERIN, 18, id="VPSolver, narrow"),
        pytest.param(150, SMALL_10, 5, id="PM 10"),
        pytest.param(150, SMALL_20, 7, id="PM 20"),
    ],
)
def test_published_instance_is_solved_and_proven(stock, lengths, bars):
    given = tasks.task(lengths, stock=stock, keep_mm=stock // 10)
    plan = tasks.solved(given)
    assert (plan.new_bars, plan.bound_bars, plan.proven) == (bars, bars, True)
    assert checking.check(given, plan) == ()


def test_paper_mill_loses_what_is_published():
    # 73 bars of 5,600 mm, 0.401 % lost; first fit by length takes 82.
    plan = tasks.solved(tasks.task(tasks.PAPER_MILL, stock=5600, keep_mm=5600))
    assert plan.scrap_mm / plan.new_mm * 100 == pytest.approx(0.401, abs=0.0005)


@pytest.mark.parametrize(("seed", "number"), [(1, 15), (2, 15), (1, 30), (1, 60), (2, 60), (3, 60)])
def test_triplets_fill_every_bar(seed, number):
    plan = tasks.solved(tasks.task(tasks.triplets(seed, number=number), stock=1000))
    assert (plan.new_bars, plan.scrap_mm, plan.proven) == (number // 3, 0, True)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_narrow_class_is_proven(seed):
    # Five pieces fill a bar, at most six fit: 100 of them take 17 to 20 bars.
    given = tasks.task(tasks.narrow(seed), stock=1000)
    plan = tasks.solved(given)
    assert 17 <= plan.bound_bars == plan.new_bars <= 20
    assert checking.check(given, plan) == ()


@pytest.mark.parametrize(
    ("seed", "bars", "first_fit"),
    # Reference run of the same generator with column generation and arc-flow, verified by a checker.
    [(1, 806, 825), (2, 1045, 1067), (3, 935, 947), (4, 787, 810), (7, 648, 659), (8, 621, 639)],
)
def test_bars_of_slabs_are_proven_and_below_first_fit(seed, bars, first_fit):
    given = tasks.task(tasks.slab_bars(seed))
    told = []
    plan = tasks.solved(given, seconds=20, progress=told.append, cancelled=lambda: len(told) >= 4)
    assert (plan.new_bars, plan.bound_bars, told[0].new_bars) == (bars, bars, first_fit)
    assert plan.method is not Method.FIRST_FIT
    assert checking.check(given, plan) == ()
