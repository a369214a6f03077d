from hypothesis import given
from hypothesis import strategies as st

from inventory.calc import costing, money, spend, variances
from inventory.calc.costing import Pool

AMOUNTS = st.integers(0, 10**14)
QUANTITIES = st.integers(1, 10**12)
POOLS = st.one_of(st.just(Pool()), st.builds(Pool, QUANTITIES, AMOUNTS))
ACTS = st.lists(st.tuples(st.sampled_from(["receive", "issue", "withdraw"]), QUANTITIES, AMOUNTS))


@given(POOLS, ACTS)
def test_value_is_conserved_for_any_sequence(pool, acts):
    came, went = pool.value, 0
    for act, quantity, value in acts:
        if act == "receive":
            pool = costing.receive(pool, quantity=quantity, value=value)
            came += value
        elif pool.quantity == 0:
            continue
        elif act == "issue":
            pool, out = costing.issue(pool, quantity=1 + quantity % pool.quantity)
            assert out >= 0
            went += out
        else:
            pool, stranded = costing.withdraw(pool, quantity=1 + quantity % pool.quantity, value=value)
            went += value + stranded
        assert came == went + pool.value


@given(QUANTITIES, AMOUNTS, st.lists(st.integers(1, 10**6), min_size=1, max_size=20))
def test_issuing_everything_in_any_parts_leaves_no_value(quantity, value, parts):
    pool, out_total = Pool(quantity, value), 0
    for part in parts:
        if pool.quantity > part:
            pool, out = costing.issue(pool, quantity=part)
            out_total += out
    pool, out = costing.issue(pool, quantity=pool.quantity)
    assert (pool, out_total + out) == (Pool(), value)


@given(QUANTITIES, AMOUNTS, st.integers(1, 10**12))
def test_an_issue_is_within_half_a_unit_of_the_average(quantity, value, wanted):
    taken = 1 + wanted % quantity
    _, out = costing.issue(Pool(quantity, value), quantity=taken)
    assert 2 * abs(out * quantity - value * taken) <= quantity


@given(st.integers(-(10**15), 10**15), st.lists(st.integers(0, 10**9), min_size=1).filter(any))
def test_shares_add_up_and_are_within_one_unit(total, weights):
    parts = money.share(total, weights=weights)
    assert sum(parts) == total
    assert all(
        abs(part * sum(weights) - total * weight) < sum(weights)
        for part, weight in zip(parts, weights, strict=True)
    )


@given(st.integers(1, 10**6), QUANTITIES)
def test_a_rate_survives_the_way_to_an_amount_and_back(rate, quantity):
    # An amount is rounded by at most half a minor unit, which is 5,000 rate parts over the quantity in units.
    amount = money.amount(quantity, rate=rate * money.RATE_PARTS, per=1)
    assert money.rate_from_amount(amount, quantity=quantity, per=1) == rate * money.RATE_PARTS


@st.composite
def spend_facts(draw):
    rate = draw(st.integers(0, 10**9))
    allowed = draw(st.integers(0, 10**7))
    return spend.Facts(
        material="cement",
        budget=money.amount(allowed, rate=rate, per=1_000),
        allowed=allowed,
        rate=rate,
        per=1_000,
        used=draw(st.integers(0, 10**7)),
        issued_value=draw(AMOUNTS),
        wasted_value=draw(AMOUNTS),
        adjusted_value=draw(st.integers(-(10**6), 10**6)),
        open_order=draw(POOLS),
        on_hand=draw(POOLS),
        finished=draw(st.booleans()),
    )


@given(st.lists(spend_facts(), max_size=8))
def test_budget_and_variances_add_up_to_the_forecast(slab):
    rows = [spend.amounts(facts) for facts in slab]
    for row in [*rows, spend.total(rows)]:
        assert row.budget + row.usage_variance + row.price_variance == row.forecast
        assert row.used + row.to_come == row.forecast
    assert spend.total(rows).forecast == sum(row.forecast for row in rows)


@given(st.integers(0, 10**12), QUANTITIES, AMOUNTS, st.integers(0, 10**9))
def test_variances_explain_the_whole_difference(cost, used, budget, rate):
    split = variances.split(cost, used=used, budget=budget, rate=rate, per=1_000)
    assert split.total == cost - budget
