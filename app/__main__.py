"""`python3 app`: makes itself an environment on the first start, then serves the sheet on this machine."""

import os
import sys

CHECKOUT = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))

if __name__ == "__main__":
    # A folder that is run as a program stands first on the path; the checkout has to.
    sys.path[0] = CHECKOUT
    from app import bootstrap

    bootstrap.require_python()
    from app.options import read_options

    options = read_options(sys.argv[1:])
    try:
        bootstrap.enter("app", ["postgresql"] if options.needs_postgresql else [])
        from app.start import start

        sys.exit(start(options))
    except KeyboardInterrupt:  # Ctrl+C before there is a server to end
        sys.exit(130)
