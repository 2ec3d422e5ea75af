"""Clearover: fired test tiles in, a searchable offline site out.

One way through: read, check, compute, render. `records` reads and checks, `chemistry`, `firing`,
`colour` and `evidence` compute, `photos`, `finder` and `pages` render; `catalogue` joins them.
Only `plugin` knows the host.
"""

import os

# Our matrices are small: a second thread of numpy's would wait for the first, at full speed.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

__version__ = "0.1.0"
