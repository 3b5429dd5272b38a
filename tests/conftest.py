"""What every test runs with."""

import os

from hypothesis import HealthCheck, settings

# As the command line does: two test processes on two cores leave no core for matrix threads.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

# Nothing is judged by the clock here: these machines are noisy.
settings.register_profile(
    "noisy machine", deadline=None, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("noisy machine")
