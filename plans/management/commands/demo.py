"""`manage.py demo [--remove]`: loads the demonstration into an account of its own, or takes it away with all that belongs to it."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from plans.management.scenario import load
from quiltbook.people.models import Person
from stash.services.removal import remove_person

NAME, PASSWORD = "demo", "under-the-lamp"


class Command(BaseCommand):
    help = "Load the demonstration, or remove it."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--remove", action="store_true", help="remove the demonstration and all that belongs to it")

    def handle(self, *args: Any, **options: Any) -> str:
        there = Person.objects.filter(username=NAME).first()
        if options["remove"]:
            if there is None:
                raise CommandError("There is no demonstration to remove.")
            remove_person(person=there)
            return "The demonstration is removed."
        if there is not None:
            raise CommandError(f"The demonstration is there already: sign in as {NAME} with {PASSWORD}.")
        person = Person.objects.create_user(username=NAME, password=PASSWORD, first_name="Wren")
        load(owner=person, today=timezone.localdate())
        return f"Demonstration: sign in as {NAME} with {PASSWORD}"
