"""What gunicorn serves."""

import gc

from service.app import create_app

app = create_app()
# The rulebook lives as long as the process: collecting it again and again would stop requests for nothing, and a
# frozen heap stays shared between workers after the fork.
gc.collect()
gc.freeze()
