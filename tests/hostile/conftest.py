"""The hostile tests find their cases by themselves; these modules help them."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
