#!/usr/bin/env python3
"""Every command of the service. Sets up its own environment first; see deploy/bootstrap."""

from deploy.bootstrap import start

if __name__ == "__main__":
    start.main()
