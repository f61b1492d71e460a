"""What gunicorn serves."""

import gc
import sys

from flask import Flask

from service.errors import ServiceError


def _load() -> Flask:
    # Imported here, while the collector rests.
    from service.app import create_app
    from service.web.telemetry.log_writer import LogWriter

    # Python has no standard output where it was started with none; the descriptor may then be a socket.
    return create_app(LogWriter(sys.__stdout__.fileno()).write if sys.__stdout__ else None)


# What a start makes stays: looking through it while it grows would be a tenth of the start.
gc.disable()
try:
    app = _load()
except ServiceError as error:
    # Said without a traceback: what is wrong is in the rules, the catalog or the settings, and the message
    # names the place.
    sys.exit(f"The service does not start.\n{error}")
except (ImportError, MemoryError, KeyboardInterrupt) as error:
    # A library that finds no memory fails to be imported, or interrupts the process when it gets no thread.
    cause = error.__cause__ or error
    trouble = str(cause).strip().partition("\n")[0] or type(cause).__name__
    sys.exit(f"The service does not start.\nIs there too little memory? It could not be loaded: {trouble}.")
# The rulebook lives as long as the process: collecting it again and again would stop requests for nothing,
# and a frozen heap stays shared between workers after the fork.
gc.collect()
gc.freeze()
# What is made later and stays are plans, thousands of small objects each: looking through those that are kept
# again and again was a third of what a plan that is not kept costs.
gc.set_threshold(50_000, 20, 50)
gc.enable()
