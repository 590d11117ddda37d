#!/usr/bin/env python3
"""The one command: `python3 manage.py up` starts the shop, `python3 manage.py test` proves it.

Anything Gusset needs is put beside it first (see buildlog/config/setup/); the rest is Django's.
"""

import sys

from buildlog.config.setup import bootstrap

if __name__ == "__main__":
    bootstrap.main(sys.argv)
