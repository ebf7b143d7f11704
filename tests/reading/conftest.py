"""The reading tests plant with the same makers as the planting tests."""

import sys
from pathlib import Path

sys.path.append(str(Path(__file__).parents[1] / "planting"))
