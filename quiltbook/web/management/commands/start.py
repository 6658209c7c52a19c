"""`manage.py start [--port N] [--no-demo]`: from whatever is there to a page that answers.

Brings the database up to date, loads the demonstration the first time, and serves on this machine only until
it is stopped (Ctrl-C or SIGTERM), with a worker beside it for what takes long.
"""

import socket
import subprocess
import sys
from collections.abc import Callable
from io import StringIO
from pathlib import Path
from typing import Any

from django.conf import settings
from django.contrib.auth import get_user_model
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.core.wsgi import get_wsgi_application
from django.db import connections, transaction
from gunicorn.app.base import BaseApplication

HOST = "127.0.0.1"
WORKER = [sys.executable, str(settings.BASE_DIR / "manage.py"), "db_worker", "--no-startup-delay"]


class Server(BaseApplication):
    """Gunicorn with threads; Quiltbook is loaded in its workers, after they are forked."""

    def __init__(self, port: int, announce: Callable[[], None]) -> None:
        self.port = port
        self.announce = announce
        super().__init__()

    def load_config(self) -> None:
        chosen: dict[str, Any] = {
            "bind": f"{HOST}:{self.port}",
            "worker_class": "gthread",
            "workers": 2,
            "threads": 4,
            "graceful_timeout": 10,
            "loglevel": "warning",
            "control_socket_disable": True,
            "proc_name": "quiltbook",
            "when_ready": lambda server: self.announce(),
        }
        for name, value in chosen.items():
            self.cfg.set(name, value)

    def load(self) -> Any:
        return get_wsgi_application()


class Command(BaseCommand):
    help = "Serve Quiltbook on this machine, ready to be looked at."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--port", type=int, default=8000, help="where to answer (8000)")
        parser.add_argument("--no-demo", action="store_true", help="do not load the demonstration the first time")

    def handle(self, *args: Any, **options: Any) -> None:
        port = options["port"]
        self.check_free(port)
        self.stderr.write("Bringing the database up to date …")
        call_command("migrate", verbosity=0)
        call_command("collectstatic", interactive=False, verbosity=0)
        lines = [f"Quiltbook is at http://{HOST}:{port}/ (Ctrl-C stops it)"]
        lines += self.demo_sign_in(wanted=not options["no_demo"])
        # The workers are forked: each opens its own connection.
        connections.close_all()
        worker = subprocess.Popen(WORKER)  # noqa: S603, our own program
        try:
            Server(port, lambda: self.stdout.write("\n".join(lines))).run()
        finally:
            self.end(worker)

    def end(self, worker: "subprocess.Popen[bytes]") -> None:
        """Let the worker finish what it is at, but not for long: a search that is broken off can be asked for again."""
        worker.terminate()
        try:
            worker.wait(timeout=5)
        except subprocess.TimeoutExpired:
            worker.kill()

    def check_free(self, port: int) -> None:
        """Raise a CommandError in a sentence where the port cannot be had."""
        with socket.socket() as trial:
            trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                trial.bind((HOST, port))
            except (OSError, OverflowError) as fault:
                raise CommandError(f"Port {port} cannot be had ({fault}). Choose another with --port.") from fault

    def demo_sign_in(self, *, wanted: bool) -> list[str]:
        """How to sign in to the demonstration, where there is one; it is loaded into an empty Quiltbook once.

        The sentence that `demo` returns is kept beside the database, so that every start can say it, and so
        that a demonstration that was removed does not come back.
        """
        kept = Path(settings.DATA_DIR) / "demo-sign-in"
        people = get_user_model().objects
        if wanted and not kept.exists() and not people.exists():
            self.stderr.write("Loading the demonstration …")
            # Whole or not at all: an interrupted load leaves nobody behind, and the next start tries again.
            with transaction.atomic():
                sentence = call_command("demo", stdout=StringIO())
            kept.touch(mode=0o600)
            kept.write_text(sentence, encoding="utf-8")
        if kept.exists() and people.filter(username="demo").exists():
            return [kept.read_text(encoding="utf-8").strip()]
        return []
