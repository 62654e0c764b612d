"""The edge: HTTP, documents in and out. Reads clock, environment and files; nobody below does.

Importing this package sets every BLAS to one thread, so it has to come before numpy: with the libraries' own defaults
several workers fight for the same cores, and sums may be added up in another order from one machine to the next.
"""

import os

__distribution__ = "birdsmouth"

os.environ.update(dict.fromkeys(("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"), "1"))
