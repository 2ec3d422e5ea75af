"""Clearover: fired test tiles in, a searchable offline site out.

One way through: read, check, compute, render. `records` reads and checks, `chemistry`, `firing`,
`colour` and `evidence` compute, `photos`, `finder` and `pages` render; `catalogue` joins them.
Only `plugin` knows the host.
"""

__version__ = "0.1.0"
