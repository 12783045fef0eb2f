"""What all tests share."""

import os

# Side by side, each worker keeps to one core: threads of theirs would only wait for each other's. Before NumPy loads.
if "PYTEST_XDIST_WORKER" in os.environ:
    for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"):
        os.environ.setdefault(name, "1")
