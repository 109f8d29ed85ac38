"""Tests; linear algebra in one thread, as in commands: its matrices are small, and cores are busy."""

import os

for _library in ("OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "VECLIB_MAXIMUM_THREADS"):
    os.environ.setdefault(_library, "1")
