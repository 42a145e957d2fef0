"""What long runs count: memory of this process, and what a window keeps alive."""

from __future__ import annotations

import functools
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
    """How many things Python keeps after all that nobody refers to is gone.

    Answers kept up to a number of them go first: they would fill up for a day and then stop.
    """
    for name, module in list(sys.modules.items()):
        if name.startswith("framer."):
            for kept in list(vars(module).values()):
                is_cache = isinstance(kept, functools._lru_cache_wrapper)
                if is_cache and kept.cache_parameters()["maxsize"] is not None:
                    kept.cache_clear()
    gc.collect()
    return len(gc.get_objects())
