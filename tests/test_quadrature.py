import mpmath
import numpy as np
import pytest

from edgefinder.geometry.quadrature import (
    GRADING,
    ORDERS,
    SMALLEST_SIZES,
    choose_rules,
    rule,
)

DIGITS = 34
NODES_OF_TRUTH = 70
CHOSEN_FOR = 1e-15


def legendre_rule(order: int) -> list[tuple[mpmath.mpf, mpmath.mpf]]:
    """Nodes and weights on [-1, 1] to all digits: roots of the polynomial, polished."""
    pairs = []
    for guess in 2 * rule(order).nodes - 1:
        x = mpmath.mpf(float(guess))
        for _ in range(4):
            value = mpmath.legendre(order, x)
            slope = order * (x * value - mpmath.legendre(order - 1, x)) / (x * x - 1)
            x -= value / slope
        slope = -order * mpmath.legendre(order - 1, x) / (x * x - 1)
        pairs.append((x, 2 / ((1 - x * x) * slope * slope)))
    return pairs


@pytest.mark.parametrize("order", ORDERS)
def test_a_rule_is_exact_for_polynomials_of_twice_its_order(order: int) -> None:
    nodes, weights = rule(order).nodes, rule(order).weights

    for power in range(2 * order):
        assert weights @ nodes**power == pytest.approx(1 / (power + 1), rel=3e-15)


@pytest.mark.parametrize(
    ("order", "size"), list(zip(ORDERS, SMALLEST_SIZES, strict=True))
)
def test_a_rule_is_good_to_1e_15_at_the_smallest_ellipse_it_is_chosen_for(
    order: int, size: float
) -> None:
    with mpmath.workdps(DIGITS):
        truth, tried = legendre_rule(NODES_OF_TRUTH), legendre_rule(order)
        height = mpmath.sqrt(mpmath.mpf(size) ** 2 - 1)
        round_ = [mpmath.pi * k / 6 for k in range(7)]
        roots = [
            mpmath.mpc(size * mpmath.cos(a), height * mpmath.sin(a)) for a in round_
        ]
        worst = mpmath.mpf(0)
        for first in roots[:4]:
            for second in (None, *roots[::2], 2 * first):

                def speed(
                    x: mpmath.mpf,
                    first: mpmath.mpc = first,
                    second: mpmath.mpc | None = second,
                ) -> mpmath.mpf:
                    return abs(x - first) * (1 if second is None else abs(x - second))

                exact = sum(w * speed(x) for x, w in truth)
                worst = max(worst, abs(sum(w * speed(x) for x, w in tried) / exact - 1))

        # Good enough, and not wastefully so.
        assert CHOSEN_FOR / 100 < worst < 1.5 * CHOSEN_FOR


def test_the_smallest_rule_that_will_do_is_chosen() -> None:
    sizes = np.array([100.0, np.inf, 3.8, 2.0, 1.6, 1.3, 1.15, 1.0, np.nan])

    chosen = choose_rules(sizes)

    assert chosen.tolist() == [0, 0, 1, 2, 3, 4, 5, 6, 6]


def test_the_far_part_of_a_graded_cut_needs_no_other_cut() -> None:
    size_seen_from_the_far_part = (1 + GRADING) / (1 - GRADING)

    (chosen,) = choose_rules(np.array([size_seen_from_the_far_part]))

    assert chosen == len(ORDERS) - 1
