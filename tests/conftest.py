"""What every test runs with."""

import os

# As the command line does: two test processes on two cores leave no core for matrix threads.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
