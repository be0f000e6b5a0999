"""Logs: a page of readings from one firing, read as people write it.

What is certain is read, what may be one thing or another is refused, and what can be read but looks
wrong is a doubt: `Log.doubts`, answered by `Log.without` and `Log.keep`. data/README.md has the
form.
"""

from ovenkit.logs.log import Log
from ovenkit.logs.reading import new_log, read_log
from ovenkit.logs.saving import save_log

__all__ = ["Log", "new_log", "read_log", "save_log"]
