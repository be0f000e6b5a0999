"""Work that takes seconds, done beside the page, so that the page goes on meanwhile."""

import asyncio


def beside(act, then):
    """Call then(answer) once act() has run; answer() gives what it returned, or raises.

    Without a front end to wait for, at once, and in the same thread.
    """
    try:
        loop = asyncio.get_running_loop()
    except RuntimeError:
        then(act)
    else:
        loop.run_in_executor(None, act).add_done_callback(lambda done: then(done.result))
