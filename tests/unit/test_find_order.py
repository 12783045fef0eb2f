"""Medians and quantiles of few numbers are numpy's own, to the bit."""

import numpy as np

from standback.find.order import FEW, least_of_largest, median, medians, quantile


def test_medians_and_quantiles_are_those_of_numpy() -> None:
    rng = np.random.default_rng(8)
    for count in (*range(1, 60), FEW, FEW + 1):
        values = rng.normal(50, 20, count)
        if count % 3 == 0:
            values = np.round(values)
        before = values.copy()
        assert median(values) == np.median(values)
        for share in (0.0, 0.1, 0.3, 0.5, 0.77, 0.9, 1.0):
            assert quantile(values, share) == np.quantile(values, share)
            least = least_of_largest(values, share)
            np.testing.assert_array_equal(values >= least, values >= np.quantile(values, 1 - share))
        np.testing.assert_array_equal(values, before)


def test_medians_of_columns_are_those_of_numpy() -> None:
    rng = np.random.default_rng(9)
    for count in (1, 2, 3, 24, 25, 400):
        for dtype in (np.float32, np.float64):
            values = rng.normal(128, 40, (count, 3)).astype(dtype)
            for rows in (values, np.asfortranarray(values)):
                before = rows.copy()
                found = medians(rows)
                assert found.dtype == dtype
                np.testing.assert_array_equal(found, np.median(rows, axis=0))
                np.testing.assert_array_equal(rows, before)
