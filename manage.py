#!/usr/bin/env python3
"""Quiltbook's one command. `python3 manage.py start` serves it, `python3 manage.py test` tests it.

Any Python 3 may run this file: where it is too old, or has no Django, the bootstrap makes an environment
in .venv and runs this file again from there.
"""

import os
import sys

from quiltbook import bootstrap


def main() -> None:
    bootstrap.enter(sys.argv)
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "quiltbook.settings")
    from django.core.management import execute_from_command_line

    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()
