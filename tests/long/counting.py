"""What long runs count: memory of this process, and what a window keeps alive."""

from __future__ import annotations

import gc
import sys
from pathlib import Path


def memory_mb() -> float:
    """Memory of this process that is in use now; 0 where the system does not tell."""
    if sys.platform != "linux":
        return 0.0
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1])
    return pages * 4096 / 1024**2


def objects() -> int:
    """How many things Python keeps after all that nobody refers to is gone."""
    gc.collect()
    return len(gc.get_objects())
