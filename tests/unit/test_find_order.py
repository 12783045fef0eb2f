"""Medians and quantiles of few numbers are numpy's own, to the bit."""

import numpy as np

from standback.find.order import median, quantile


def test_medians_and_quantiles_are_those_of_numpy() -> None:
    rng = np.random.default_rng(8)
    for count in range(1, 60):
        values = rng.normal(50, 20, count)
        if count % 3 == 0:
            values = np.round(values)
        before = values.copy()
        assert median(values) == np.median(values)
        for share in (0.0, 0.1, 0.3, 0.5, 0.77, 0.9, 1.0):
            assert quantile(values, share) == np.quantile(values, share)
        np.testing.assert_array_equal(values, before)
