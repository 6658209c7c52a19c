"""`manage.py yardage VERB FILE`: the yardage engine's own command line, handed on untouched."""

import argparse
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from quiltbook.yardage.__main__ import main


class Command(BaseCommand):
    help = "Work something out from JSON: yardage VERB FILE, or - for standard input."
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("arguments", nargs=argparse.REMAINDER, metavar="VERB FILE")

    def handle(self, *args: Any, **options: Any) -> None:
        raise SystemExit(main(options["arguments"]))
