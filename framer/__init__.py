"""framer drafts the framing of power-line poles and checks every step of a pole change-out."""

import os

# arrays here are small: starting a second thread for them costs more than it ever saves; the
# library for arrays reads this when it is loaded
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

__version__ = "0.1.0"
