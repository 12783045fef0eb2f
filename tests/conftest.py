"""What all tests share."""

import os

from standback.threads import OF_NUMPY

# Side by side, each worker keeps to one core: threads of theirs would only wait for each other's. Before NumPy loads.
if "PYTEST_XDIST_WORKER" in os.environ:
    for name in OF_NUMPY:
        os.environ.setdefault(name, "1")
