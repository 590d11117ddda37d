#!/usr/bin/env python3
"""The one command. Replaced by the bootstrap as soon as it is written."""
import os
import sys

if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "buildlog.config.settings")
    from django.core.management import execute_from_command_line

    execute_from_command_line(sys.argv)
